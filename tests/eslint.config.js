import path from 'node:path';
import tseslint from 'typescript-eslint';

const root = path.resolve(import.meta.dirname, '..');

export default tseslint.config(
  {
    ignores: [
      'dist/**',
      'out/**',
      'node_modules/**',
      // AssemblyScript, whose own compiler checks it, and what is made of it.
      'src/kernels/*.ts',
      'src/signal/kernels-binary.ts',
    ],
  },
  ...tseslint.configs.strictTypeChecked,
  ...tseslint.configs.stylisticTypeChecked,
  {
    files: ['src/**/*.ts', 'tests/**/*.ts'],
    languageOptions: {
      parserOptions: {
        project: ['tsconfig.json', 'tests/tsconfig.json'],
        tsconfigRootDir: root,
      },
    },
    rules: {
      eqeqeq: 'error',
      'no-console': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      // Numbers in messages are the point of this program.
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      // `array[i]!` after a bounds-checked loop is how numeric code reads best under noUncheckedIndexedAccess.
      '@typescript-eslint/no-non-null-assertion': 'off',
    },
  },
  { files: ['**/*.js'], ...tseslint.configs.disableTypeChecked },
);
