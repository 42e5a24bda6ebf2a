// Who may import whom. Each rule says where the code belongs instead.
const TIERS = [['units'], ['geometry', 'code-data'], ['document', 'sight'], ['offer', 'checks', 'sizing', 'exchange', 'revision'], ['audit', 'advise'], ['report']];
const tierRules = TIERS.flatMap((tier, i) => tier.map((m) => {
  const closed = [...tier.filter((x) => x !== m), ...TIERS.slice(i + 1).flat()];
  return { name: `tier-${m}`, severity: 'error', comment: `shared-core/${m} may use only lower tiers; move shared parts down.`,
    from: { path: `^shared-core/${m}/` }, to: { path: `^shared-core/(${closed.join('|') || 'none'})/` } };
}));
const deny = (name, comment, from, to) => ({ name, severity: 'error', comment, from, to });
const PRODUCT = '^(main|renderer|shared-core)/';
module.exports = { forbidden: [ ...tierRules,
  deny('core-is-pure', 'shared-core runs in the window, a worker, Node and tests: plain computing only.', { path: '^shared-core/' },
    { pathNot: '^shared-core/|node_modules/(rbush|robust-predicates|zod|@types/rbush|quickselect)/' }),
  deny('core-through-index', "Use the folder's index: it is the whole interface.", { path: '^shared-core/([^/]+)/' },
    { path: '^shared-core/[^/]+/', pathNot: ['^shared-core/$1/', '^shared-core/[^/]+/index[.]ts$'] }),
  deny('app-through-index', "Use the folder's index: it is the whole interface.", { path: '^(main|renderer)/' },
    { path: '^shared-core/[^/]+/', pathNot: '^shared-core/[^/]+/index[.]ts$' }),
  deny('renderer-not-main', 'The window reaches main only through renderer/host-client.ts and shared-core/host-api.ts.', { path: '^renderer/' }, { path: '^main/' }),
  deny('main-not-renderer', 'Main serves the built window; it never imports it.', { path: '^main/' }, { path: '^renderer/' }),
  deny('renderer-no-node', 'The window has no Node.', { path: '^renderer/', pathNot: 'vite[.]config[.]ts$' }, { dependencyTypes: ['core'] }),
  deny('electron-at-the-edge', 'Electron stays in main/shell and main/host.', { path: PRODUCT, pathNot: '^main/(shell|host)/' }, { path: '(^|node_modules/)electron($|/)' }),
  deny('disk-in-files', 'Only main/files touches the disk.', { path: '^main/', pathNot: '^main/(files|build[.]mjs|start[.]mjs)' }, { path: '^(node:)?fs(/promises)?$' }),
  deny('konva-in-canvas', 'Konva only draws, and only in renderer/canvas.', { path: PRODUCT, pathNot: '^renderer/canvas/' }, { path: 'node_modules/(konva|react-konva)/' }),
  deny('tools-are-plain', 'A tool is a plain reducer: no canvas, no React.', { path: '^renderer/tools/' }, { path: '^renderer/(canvas|panels|worker)/|node_modules/(react|react-dom)/' }),
  deny('parsers-in-exchange', 'Untrusted bytes are parsed in main/exchange (a PDF also in the renderer plan worker).', { path: PRODUCT, pathNot: '^main/(exchange|files)/|^renderer/plan/' },
    { path: 'node_modules/(pdfjs-dist|@cantoo|dxf-parser|utif2|papaparse|exceljs|fflate|sharp|@napi-rs)/' }),
  deny('no-tests-in-product', 'Product code never imports tests.', { path: PRODUCT }, { path: '^tests/' }),
  deny('no-circular', 'Break the circle: one of the two knows too much.', {}, { circular: true }) ],
  options: { tsPreCompilationDeps: true, doNotFollow: { path: 'node_modules' }, exclude: { path: '(^|/)dist/' } } };
