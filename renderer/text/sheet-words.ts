/** Words of the sheets' own page: layers of a plan, choosing pages. */
export const sheetWords = {
  layers: 'Layers of the plan', layersTitle: (hidden: number, all: number) => `Layers of the plan, ${hidden === 0 ? `all ${all} shown` : `${hidden} of ${all} hidden`}`, showAllLayers: 'Show all', layersAsFile: 'As the file says',
  layerNote: 'Hidden layers are left out of the picture, the wall offers and the exported PDF alike.', findLayer: 'Find a layer', noLayer: (text: string) => `No layer is called '${text}'.`,
  pages: 'Pages', pagesHint: 'Such as 1-3, 7 or all. Shift with a click takes a run.', allPages: (n: number) => `all ${n}`, noPages: 'none', notPages: (text: string) => `'${text}' names no pages: write 1-3, 7.`, noSuchPage: (text: string, count: number) => `There is no page ${text}: the last is ${count}.`,
  noPicture: 'cannot be drawn', notDrawn: 'not drawn', drawing: 'drawing', picturing: 'Small pictures of the pages', pictured: (n: number, of: number) => `${n} of ${of} pictures`, stop: 'Stop', goOn: 'Go on',
  edits: {
    layer: (isShown: boolean, layer: string, sheet: string) => `${isShown ? 'showed' : 'hid'} layer ${layer} of ${sheet}`, allLayers: (sheet: string) => `showed all layers of ${sheet}`, fileLayers: (sheet: string) => `set layers of ${sheet} as in the file`,
  },
} as const;
