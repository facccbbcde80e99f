// What is looked for in the scripts beside their types (`jsconfig.json` has names that do not exist, wrong arguments).
const MISTAKES = [
  "array-callback-return", "for-direction", "getter-return", "no-async-promise-executor", "no-case-declarations", "no-compare-neg-zero",
  "no-cond-assign", "no-constant-binary-expression", "no-constant-condition", "no-control-regex", "no-debugger", "no-dupe-else-if",
  "no-dupe-keys", "no-duplicate-case", "no-duplicate-imports", "no-empty", "no-empty-character-class", "no-empty-pattern",
  "no-ex-assign", "no-fallthrough", "no-global-assign", "no-invalid-regexp", "no-irregular-whitespace", "no-loop-func",
  "no-loss-of-precision", "no-misleading-character-class", "no-prototype-builtins", "no-redeclare", "no-regex-spaces",
  "no-self-assign", "no-self-compare", "no-shadow-restricted-names", "no-sparse-arrays", "no-template-curly-in-string",
  "no-unexpected-multiline", "no-unmodified-loop-condition", "no-unreachable", "no-unreachable-loop", "no-unsafe-finally",
  "no-unsafe-negation", "no-unsafe-optional-chaining", "no-unused-private-class-members", "no-useless-assignment",
  "no-useless-catch", "no-useless-escape", "no-useless-rename", "no-useless-return", "no-var", "no-eval", "no-implied-eval",
  "object-shorthand", "prefer-const", "prefer-template", "require-atomic-updates", "require-yield", "use-isnan", "valid-typeof",
];
const OF_THE_PAGE = ["document", "window", "globalThis", "self", "navigator", "location", "history", "localStorage", "sessionStorage", "caches", "fetch", "crypto", "performance"];
const OF_TIME = ["setTimeout", "setInterval", "requestAnimationFrame"];

export default [
  {
    files: ["**/*.js"],
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      ...Object.fromEntries(MISTAKES.map((rule) => [rule, "error"])),
      eqeqeq: "error",
      "no-cond-assign": ["error", "except-parens"],
      "no-shadow": ["error", { hoist: "all" }],
      "no-unused-expressions": "error",
      "no-unused-vars": ["error", { ignoreRestSiblings: true }],
    },
  },
  {
    // A function of values: no page, no clock, no chance, and nothing from outside.
    files: ["scripts/logic/*.js"],
    rules: {
      "no-restricted-globals": ["error", ...OF_THE_PAGE, ...OF_TIME],
      "no-restricted-imports": ["error", { patterns: ["../*"] }],
      "no-restricted-properties": ["error", { object: "Date", property: "now" }, { object: "Math", property: "random" }],
      "no-restricted-syntax": ["error", "NewExpression[callee.name='Date'][arguments.length=0]"],
    },
  },
];
