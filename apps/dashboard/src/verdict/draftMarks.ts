/** What is drawn over the text: where others stand in it, and which words are commented on. */
import { StateEffect, StateField, type Extension, type Range } from '@codemirror/state';
import { Decoration, EditorView, WidgetType, type DecorationSet } from '@codemirror/view';

export interface Caret {
  readonly seat: string;
  readonly name: string;
  /** One of the six looks. */
  readonly look: number;
  readonly anchor: number;
  readonly head: number;
}
export interface Marked {
  readonly id: string;
  readonly from: number;
  readonly to: number;
  readonly chosen: boolean;
}

export const setCarets = StateEffect.define<readonly Caret[]>();
export const setMarked = StateEffect.define<readonly Marked[]>();

class CaretSign extends WidgetType {
  readonly #name: string;
  readonly #look: number;
  constructor(name: string, look: number) {
    super();
    this.#name = name;
    this.#look = look;
  }
  override eq(other: CaretSign): boolean {
    return other.#name === this.#name && other.#look === this.#look;
  }
  toDOM(): HTMLElement {
    const caret = document.createElement('span');
    caret.className = `their-caret their-look-${this.#look}`;
    caret.setAttribute('aria-hidden', 'true');
    const name = document.createElement('span');
    name.className = 'their-name';
    name.textContent = this.#name;
    caret.append(name);
    return caret;
  }
  override ignoreEvent(): boolean {
    return true;
  }
}

const carets = field(setCarets, (all, length) =>
  all.flatMap(({ name, look, anchor, head }) => {
    const [from, to] = [Math.min(anchor, head, length), Math.min(Math.max(anchor, head), length)];
    const sign = Decoration.widget({ widget: new CaretSign(name, look), side: 1 }).range(
      Math.min(head, length),
    );
    return from === to
      ? [sign]
      : [Decoration.mark({ class: `their-words their-look-${look}` }).range(from, to), sign];
  }),
);

const marked = field(setMarked, (all, length) =>
  all
    .filter(({ from, to }) => from < to && to <= length)
    .map(({ from, to, chosen }) =>
      Decoration.mark({ class: chosen ? 'commented commented-chosen' : 'commented' }).range(from, to),
    ),
);

/** Between two tellings the marks move with the text. */
function field<T>(
  effect: ReturnType<typeof StateEffect.define<readonly T[]>>,
  draw: (all: readonly T[], length: number) => Range<Decoration>[],
): Extension {
  return StateField.define<DecorationSet>({
    create: () => Decoration.none,
    update: (was, transaction) => {
      let now = was.map(transaction.changes);
      for (const each of transaction.effects)
        if (each.is(effect)) now = Decoration.set(draw(each.value, transaction.newDoc.length), true);
      return now;
    },
    provide: (made) => EditorView.decorations.from(made),
  });
}

export const draftMarks: Extension = [carets, marked];
