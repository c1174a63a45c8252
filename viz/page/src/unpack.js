// From packed text back to numbers; the reverse of viz/page_pack.

/** Bytes of base64 text compressed by zlib. */
export async function inflate(packed) {
  const text = atob(packed);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; ++i) bytes[i] = text.charCodeAt(i);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/** Takes arrays off a run of bytes, in the order in which they were packed. */
export class Unpacker {
  #bytes;
  #at = 0;
  constructor(bytes) {
    this.#bytes = bytes;
  }
  #take(count) {
    if (this.#at + count > this.#bytes.length) throw new Error("the page's data is cut short");
    this.#at += count;
    return this.#bytes.subarray(this.#at - count, this.#at);
  }
  bytes(count) {
    return this.#take(count);
  }
  /** Steps 0 to 65535 packed as changes since `before` (or zero). */
  steps(count, before) {
    const low = this.#take(count);
    const high = this.#take(count);
    const values = new Uint16Array(count);
    for (let i = 0; i < count; ++i) values[i] = (before ? before[i] : 0) + low[i] + 256 * high[i];
    return values;
  }
  /** Whole numbers packed as changes from one to the next. */
  indices(count) {
    const parts = [0, 1, 2, 3].map(() => this.#take(count));
    const values = new Int32Array(count);
    let last = 0;
    for (let i = 0; i < count; ++i) {
      last = (last + parts[0][i] + (parts[1][i] << 8) + (parts[2][i] << 16) + (parts[3][i] << 24)) | 0;
      values[i] = last;
    }
    return values;
  }
}

/** Values of `steps` between `low` and `high`. */
export function valuesOf(steps, { low, high, levels }) {
  const step = (high - low) / levels;
  return Float32Array.from(steps, (each) => low + step * each);
}
