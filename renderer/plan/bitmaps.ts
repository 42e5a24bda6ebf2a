/** Decoded pictures within a budget of bytes; the longest unused goes first, what the current view shows never. */
export class Bitmaps {
  readonly #kept = new Map<string, ImageBitmap>();
  #bytes = 0;
  #shown: ReadonlySet<string> = new Set();

  constructor(readonly mostBytes: number) {}

  /** @returns the picture, now the most recently used; undefined when it is not there */
  use(key: string): ImageBitmap | undefined {
    const image = this.#kept.get(key);
    if (image) { this.#kept.delete(key); this.#kept.set(key, image); }
    return image;
  }

  has(key: string): boolean { return this.#kept.has(key); }

  /** Names what the current view shows, so that it is not thrown out under the drawing. */
  show(keys: ReadonlySet<string>): void { this.#shown = keys; }

  add(key: string, image: ImageBitmap): void {
    this.#drop(key);
    this.#kept.set(key, image);
    this.#bytes += image.width * image.height * 4;
    for (const oldest of [...this.#kept.keys()]) {
      if (this.#bytes <= this.mostBytes) break;
      if (oldest !== key && !this.#shown.has(oldest)) this.#drop(oldest);
    }
  }

  clear(): void { for (const key of [...this.#kept.keys()]) this.#drop(key); }

  #drop(key: string): void {
    const image = this.#kept.get(key);
    if (!image) return;
    this.#kept.delete(key);
    this.#bytes -= image.width * image.height * 4;
    image.close();
  }
}
