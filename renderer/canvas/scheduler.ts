export type LayerName = 'ground' | 'marks' | 'hand';

export interface Scheduler {
  /** Asks for layers to be painted in the next frame; asking twice paints once. */
  ask(...layers: readonly LayerName[]): void;
  /** Asks for a frame in which no layer may need paint: work that waits for one, such as a pointer move. */
  wake(): void;
  stop(): void;
}

/**
 * One animation-frame loop for the whole canvas, asleep when nothing is asked for. Work that belongs to a frame runs
 * first and may ask for layers; then each asked layer is painted once.
 */
export function createScheduler(work: (time: number) => void, paint: (layers: ReadonlySet<LayerName>) => void): Scheduler {
  let asked = new Set<LayerName>();
  let frame = 0;
  const run = (time: number): void => {
    frame = 0;
    work(time);
    if (asked.size === 0) return;
    const layers = asked;
    asked = new Set();
    paint(layers);
  };
  const wake = (): void => { if (frame === 0) frame = requestAnimationFrame(run); };
  return {
    ask: (...layers) => { for (const layer of layers) asked.add(layer); wake(); },
    wake,
    stop: () => { cancelAnimationFrame(frame); frame = 0; asked.clear(); },
  };
}
