// How the page's modules are written: see DEVELOPERS.md. What types catch is left to the compiler.
import js from "@eslint/js";
import globals from "globals";

const BROWSER_ONLY = { sourceType: "module", ecmaVersion: 2023, globals: globals.browser };

export default [
  js.configs.recommended,
  {
    files: ["**/*.js"],
    languageOptions: BROWSER_ONLY,
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      "consistent-return": "off",
      curly: ["error", "multi-line"],
      eqeqeq: "error",
      "no-console": "error",
      "no-eval": "error",
      "no-implied-eval": "error",
      "no-else-return": "error",
      "no-param-reassign": "error",
      "no-shadow": "error",
      "no-unused-expressions": ["error", { allowShortCircuit: true, allowTernary: true }],
      "no-unused-vars": ["error", { varsIgnorePattern: "^_" }],
      "no-use-before-define": ["error", { functions: false, classes: false, variables: false }],
      "no-var": "error",
      "object-shorthand": "error",
      "prefer-const": "error",
      "prefer-template": "off",
    },
  },
];
