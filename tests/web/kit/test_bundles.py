"""Scripts and styles of a page in one answer each."""

import pytest
from tests.conftest import ROOT

from stopwright.web.kit.bundles import PAGES, bundled_scripts, bundled_styles

SCRIPTS = ROOT / "frontend" / "scripts"


def of(tmp_path, **modules):
    for name, text in modules.items():
        (tmp_path / f"{name}.js").write_text(text)
    return bundled_scripts(tmp_path, ["page.js"])


def test_a_module_stands_once_before_all_that_ask_for_it(tmp_path):
    whole = of(
        tmp_path,
        page='import "./b.js";\nimport { one as first } from "./a.js";\nawait first();\n',
        a='// Says one.\nexport function one() {\n  return "a // b";\n}\n',
        b='import * as a from "./a.js";\nexport const two = a.one;\n',
    )
    assert whole.split("\n") == [
        "const m0 = (() => {",
        "function one() {",
        'return "a // b";',
        "}",
        "return { one };",
        "})();",
        "const m1 = (() => {",
        "const a = m0;",
        "const two = a.one;",
        "return { two };",
        "})();",
        "{",
        "const { one: first } = m0;",
        "await first();",
        "}",
    ]


def test_what_is_said_beside_the_code_is_left_out_and_texts_stay(tmp_path):
    whole = of(
        tmp_path,
        page=(
            '/** @import { Tap } from "./types.js" */\n'
            "/**\n * @typedef {object} Run  of the sheet\n * @property {import('./a.js').Tap} tap\n */\n"
            "  /** @param {string} of */\n"
            "// said\n"
            'const at = "https://a//b /* c */ /** d */";\n'
            'const box = /** @type {HTMLInputElement} */ (find("/** e */")), two = /** @type {{ a: 1 }[]} */ ([]);\n'
            'const pattern = /\\/\\//; const accept = "image/*";\n'
        ),
    )
    assert whole.split("\n") == [
        "{",
        'const at = "https://a//b /* c */ /** d */";',
        'const box = (find("/** e */")), two = ([]);',
        'const pattern = /\\/\\//; const accept = "image/*";',
        "}",
    ]


@pytest.mark.parametrize(
    "text",
    ["export let changes = 1;\n", 'import "./page.js";\n', 'import both from "./b.js";\n', "export default 1;\n"],
)
def test_what_cannot_be_joined_is_refused_and_not_served_broken(tmp_path, text):
    with pytest.raises(ValueError, match=r"joined|imports itself"):
        of(tmp_path, page='import "./a.js";\n', a=text, b="")


@pytest.mark.parametrize("page", PAGES)
def test_every_page_is_joined_without_an_import_left(page):
    scripts, styles = PAGES[page]
    whole = bundled_scripts(SCRIPTS, scripts)
    assert "import(" not in whole and "\nimport " not in whole and "\nexport " not in whole
    assert bundled_styles(ROOT / "frontend" / "styles", styles).count("{") > 50
