/** Lines of a text, by place, without making a text of each. Blank lines and comments (# or %) are passed over. */

export interface TextLine {
  readonly text: string;
  /** Counted from 1, blank lines and comments too. */
  readonly number: number;
}

/** Goes through a text once, line by line. */
export class Lines {
  /** The line it stands at, from `start` up to `end`. */
  start = 0;
  end = 0;
  /** Counted from 1; 0 before the first. */
  number = 0;
  readonly text: string;
  private next = 0;

  /** @param text with line feeds, alone or after carriage returns; carriage returns alone are taken for them */
  constructor(text: string) {
    const begun = text.startsWith('\uFEFF') ? text.slice(1) : text;
    this.text = begun.includes('\n') ? begun : begun.replaceAll('\r', '\n');
  }

  /** Goes on to the next line that says something. @returns false when there is none */
  advance(): boolean {
    const { text } = this;
    while (this.next < text.length) {
      this.start = this.next;
      const feed = text.indexOf('\n', this.start);
      this.end = feed < 0 ? text.length : feed;
      this.next = this.end + 1;
      this.number++;
      if (this.end > this.start && text.charCodeAt(this.end - 1) === 13) this.end--;
      if (this.says()) return true;
    }
    return false;
  }

  /** The line it stands at. */
  line(): TextLine {
    return { text: this.text.slice(this.start, this.end), number: this.number };
  }

  /** Whether the text ends with this line and without a line feed: a recorder that was cut off ends so. */
  isLastUnended(): boolean {
    return this.next > this.text.length;
  }

  private says(): boolean {
    for (let i = this.start; i < this.end; i++) {
      const c = this.text.charCodeAt(i);
      if (c !== 32 && c !== 9) return c !== 35 && c !== 37;
    }
    return false;
  }
}
