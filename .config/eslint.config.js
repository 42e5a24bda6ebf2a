import js from 'typescript-eslint';
import hooks from 'eslint-plugin-react-hooks';

const syncDisk = {
  selector: "CallExpression[callee.property.name=/^(readFile|writeFile|open|rename|unlink|mkdir|readdir|stat|rm|copyFile|fsync|append|exists|access)Sync$/]",
  message: 'Disk calls are asynchronous here, so the window never waits for a slow disk.',
};
const ipcMain = {
  selector: "ImportSpecifier[imported.name='ipcMain']",
  message: 'Only main/host/ipc.ts listens on IPC: it checks sender and message first.',
};

export default js.config(
  { ignores: ['dist/', 'node_modules/', 'coverage/', 'test-results/', 'playwright-report/', '**/*.mjs', '**/*.cjs', '.config/'] },
  ...js.configs.recommendedTypeChecked,
  {
    languageOptions: { parserOptions: { project: ['shared-core/tsconfig.json', 'main/tsconfig.json', 'renderer/tsconfig.json', 'tests/tsconfig.json'], tsconfigRootDir: process.cwd() } },
    plugins: { 'react-hooks': hooks },
    rules: {
      ...hooks.configs.recommended.rules,
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_' }],
      '@typescript-eslint/require-await': 'off',
      'no-restricted-syntax': ['error', syncDisk, ipcMain],
    },
  },
  { files: ['main/host/ipc.ts'], rules: { 'no-restricted-syntax': ['error', syncDisk] } },
  { files: ['tests/**', 'assets/**'], rules: {
    'no-restricted-syntax': 'off',
    'no-restricted-properties': ['error', { object: 'test', property: 'only' }, { object: 'it', property: 'only' }, { object: 'describe', property: 'only' }],
    '@typescript-eslint/no-unsafe-assignment': 'off', '@typescript-eslint/no-unsafe-member-access': 'off',
    '@typescript-eslint/no-unsafe-argument': 'off', '@typescript-eslint/no-unsafe-call': 'off', '@typescript-eslint/no-unsafe-return': 'off',
  } },
);
