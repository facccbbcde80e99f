"""What a screen reader hears, and what may be said to a voice: buttons are called what stands on them, hints exist."""

OF_A_JOB = ("runs/1", "runs/12", "rack", "sort", "glue-up/1/1", "glue-up/1/dry-fit", "joints", "things", "choices", "")
OF_THE_SHOP = ("", "shop", "shop/set-up", "memory", "shelf", "scan")

CALLED_OTHERWISE = """() => [...document.querySelectorAll('button, a, summary')]
  .filter((one) => one.ariaLabel && /[\\p{L}\\d]/u.test(one.textContent) && !one.querySelector('svg, .heard'))
  .map((one) => [one.textContent, one.ariaLabel].map((said) => said.trim().replace(/\\s+/g, ' ').toLowerCase()))
  .filter(([seen, called]) => !called.includes(seen))"""
"""Who works by voice says what is written on the button: the name holds it (WCAG 2.5.3; S)."""

NOT_FOUND = """() => [...document.querySelectorAll('[aria-describedby], [aria-labelledby], label[for]')]
  .flatMap((one) => ['aria-describedby', 'aria-labelledby', 'for']
    .flatMap((name) => (one.getAttribute(name) ?? '').split(' ').filter((id) => id && !document.getElementById(id))))"""


def test_buttons_are_called_what_is_written_on_them_and_hints_are_found(running_server, laptop):
    job = f"jobs/{running_server.job}"
    for path in (*(f"{job}/{one}" for one in OF_A_JOB), *OF_THE_SHOP):
        laptop.goto(f"{running_server.address}/{path}", wait_until="domcontentloaded")
        assert laptop.locator("button, a").count(), path
        assert laptop.evaluate(CALLED_OTHERWISE) == [], path
        assert laptop.evaluate(NOT_FOUND) == [], path
