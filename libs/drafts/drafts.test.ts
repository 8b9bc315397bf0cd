import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { usualOutline, type OutlineItem } from '../contracts/index.js';
import {
  anchorAt,
  applyTo,
  arrange,
  changed,
  documentOf,
  evidenceSentences,
  missingHeadings,
  pointsOf,
  rewrite,
  sameEvidence,
  sayDuration,
  sectionsOf,
  spokenSeconds,
  spokenWords,
  stretchOf,
  textIn,
  textOf,
} from './index.js';
import { renderMarkdown } from './renderMarkdown.js';
import { reviewOf, type ReviewMaterial } from './review.js';
import { writeHtml } from './writeHtml.js';
import { writeMarkdown } from './writeMarkdown.js';

const text = (id: string, title: string): OutlineItem => ({ id, part: 'text', title });

describe('an outline', () => {
  it('puts the text into its order and the made parts between', () => {
    const outline = [text('b', 'Second'), { id: 'p', part: 'pros', title: 'For it' }, text('a', 'First')];
    const parts = arrange('lead\n# First\none\n## second\ntwo', outline as OutlineItem[]);
    expect(parts).toEqual([
      { part: 'text', title: '', markdown: 'lead' },
      { part: 'text', title: 'second', markdown: 'two' },
      { part: 'pros', title: 'For it' },
      { part: 'text', title: 'First', markdown: 'one' },
    ]);
  });

  it('takes a heading in fenced code for code', () => {
    expect(sectionsOf('```\n# not one\n```\n# One\nwords')).toEqual([
      { title: '', markdown: '```\n# not one\n```' },
      { title: 'One', markdown: 'words' },
    ]);
  });

  it('leaves out no line of any text, whatever the order', () => {
    const line = fc.oneof(
      fc.constantFrom('# In short', '## Verdict', '# Elsewhere', '```', '', '#### deep'),
      fc.string({ minLength: 1, maxLength: 8 }).filter((word) => !/[\n\r]/.test(word)),
    );
    fc.assert(
      fc.property(
        fc.array(line, { maxLength: 25 }),
        fc.shuffledSubarray([...usualOutline]),
        (lines, outline) => {
          const parts = arrange(lines.join('\n'), outline);
          const said = parts
            .flatMap((part) => (part.part === 'text' ? [part.title, part.markdown] : []))
            .join('\n');
          const words = (all: string) =>
            all
              .split(/[\s#]+/)
              .filter((word) => word !== '')
              .toSorted();
          expect(words(said)).toEqual(words(lines.join('\n')));
        },
      ),
    );
  });

  it('names the headings that are still to come', () => {
    const headings = usualOutline.filter(({ part }) => part === 'text').map(({ title }) => title);
    expect(missingHeadings('## IN SHORT\nwell', usualOutline)).toEqual(headings.slice(1));
  });
});

describe('a spoken script', () => {
  it('counts words, not marks, addresses or code', () => {
    expect(
      spokenWords(
        '## It **sings**, [as they say](https://a.example/b-c).\n\n```\nfive more words not said\n```\n',
      ),
    ).toBe(5);
    expect(spokenWords('a loudspeaker’s 3 dB')).toBe(4);
    expect(spokenWords('```\nnever closed\nstill code')).toBe(0);
  });
  it('says how long it takes', () => {
    expect(sayDuration(spokenSeconds(1000, 150))).toBe('6 min 40 s');
    expect(sayDuration(spokenSeconds(300, 150))).toBe('2 min');
    expect(sayDuration(spokenSeconds(50, 150))).toBe('20 s');
  });
});

describe('points', () => {
  it('reads what earlier versions kept', () => {
    const kept = { pros: ['Even'], cons: [{ text: 'Thin', evidence: '' }], suggestions: [] };
    expect(pointsOf(kept)).toEqual({
      pros: [{ text: 'Even', evidence: '', refs: [] }],
      cons: [{ text: 'Thin', evidence: '', refs: [] }],
      suggestions: [],
    });
    expect(pointsOf(null).cons).toEqual([]);
  });
  it('knows a finding again after the analysis was done anew', () => {
    const unitId = '00000000-0000-4000-8000-000000000001';
    const peak = { kind: 'finding', unitId, finding: 'peak', frequencyHz: 1000, sentence: 'a' } as const;
    expect(sameEvidence(peak, { ...peak, frequencyHz: 1040, sentence: 'b' })).toBe(true);
    expect(sameEvidence(peak, { ...peak, frequencyHz: 1300 })).toBe(false);
    expect(sameEvidence(peak, { ...peak, finding: 'dip' })).toBe(false);
    expect(evidenceSentences({ evidence: ' a ', refs: [peak] })).toEqual(['a']);
  });
});

describe('the shared text', () => {
  it('comes out the same for all, whoever wrote what in which order', () => {
    const edit = fc.record({
      who: fc.nat(2),
      at: fc.double({ min: 0, max: 1, noNaN: true }),
      cut: fc.nat(3),
      words: fc.string({ maxLength: 4 }),
    });
    fc.assert(
      fc.property(fc.array(edit, { maxLength: 30 }), fc.integer(), (edits, seed) => {
        const writers = [0, 1, 2].map(() => new Y.Doc());
        const updates: Uint8Array[] = [];
        for (const writer of writers) writer.on('update', (made: Uint8Array) => updates.push(made));
        for (const { who, at, cut, words } of edits) {
          const writer = writers[who] ?? new Y.Doc();
          const target = textIn(writer);
          const from = Math.round(at * target.length);
          writer.transact(() => {
            target.delete(from, Math.min(cut, target.length - from));
            target.insert(from, words);
          });
        }
        const shuffled = updates
          .map((one, index) => [(index * 7919 + seed) % 104729, one] as const)
          .toSorted(([a], [b]) => a - b);
        const one = documentOf(updates);
        const other = documentOf(shuffled.map(([, update]) => update));
        expect(textOf(other)).toBe(textOf(one));
      }),
    );
  });

  it('takes an update once, and refuses nonsense and what builds on what is not there', () => {
    const source = new Y.Doc();
    const first = changed(source, () => textIn(source).insert(0, 'a'));
    const second = changed(source, () => textIn(source).insert(1, 'b'));
    const kept = new Y.Doc();
    expect(applyTo(kept, first).applied).toBe('new');
    expect(applyTo(kept, first).applied).toBe('nothing-new');
    expect(applyTo(documentOf([]), second).applied).toBe('incomplete');
    expect(applyTo(documentOf([]), new Uint8Array([9, 200, 1, 255])).applied).toBe('malformed');
    expect(textOf(kept)).toBe('a');
  });

  it('is rewritten where it differs and nowhere else', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), fc.string({ unit: 'grapheme' }), (was, wanted) => {
        const document = new Y.Doc();
        textIn(document).insert(0, was);
        const update = rewrite(document, wanted);
        expect(textOf(document)).toBe(wanted);
        expect(update === undefined).toBe(was === wanted);
      }),
    );
  });

  it('keeps hold of a stretch while others write around and within it', () => {
    const document = new Y.Doc();
    const words = textIn(document);
    words.insert(0, 'one two three');
    const anchor = anchorAt(words, 4, 7);
    words.insert(0, 'zero ');
    words.insert(words.toJSON().indexOf('two') + 3, '!');
    words.insert(words.toJSON().indexOf('two'), '(');
    const found = stretchOf(document, anchor);
    expect(found && words.toJSON().slice(found.from, found.to)).toBe('two');
    words.delete(words.toJSON().indexOf('two'), 3);
    expect(stretchOf(document, anchor)).toBeUndefined();
    expect(stretchOf(document, { start: { nonsense: 1 }, end: {} })).toBeUndefined();
  });
});

describe('what leaves the house', () => {
  const material: ReviewMaterial = {
    teamName: 'Team',
    title: 'A <b>loud</b> one',
    makerName: 'Maker',
    units: ['Unit'],
    invented: true,
    text: '## In short\n<script>alert(1)</script> [x](javascript:alert(1)) ![p](https://spy.example/p.png) **fine**',
    points: {
      pros: [{ text: 'Even', evidence: 'heard | so', refs: [] }],
      cons: [
        {
          text: 'Thin',
          evidence: '',
          refs: [{ kind: 'finding', unitId: 'u', sentence: 'A dip of 4.2 dB at 200 Hz.' }],
        },
      ],
      suggestions: [{ about: 'placement', text: 'Near a wall', evidence: '', refs: [] }],
    },
    outline: usualOutline,
    figures: [
      {
        unitName: 'Unit',
        title: 'On axis',
        name: 'unit-on-axis',
        svg: '<svg><title>drawn</title></svg>',
        csv: 'a,b',
      },
    ],
    findings: [{ unitName: 'Unit', sentence: 'A dip of 4.2 dB at 200 Hz.' }],
    numbers: [{ unitName: 'Unit', label: 'Sensitivity', value: '86.4 dB' }],
  };

  it('can do nothing: no HTML of the writer, no script address, no picture from elsewhere', () => {
    const html = renderMarkdown(material.text);
    expect(html).toContain('<strong>fine</strong>');
    expect(html).not.toMatch(/<script|<img|href="javascript/);
    const page = writeHtml(reviewOf(material));
    expect(page).not.toMatch(/<script|<img|<b>/);
    expect(page).toContain('<svg><title>drawn</title></svg>');
    expect(page).toContain('A dip of 4.2 dB at 200 Hz.');
  });

  it('is a Markdown text with its figures beside it', () => {
    const { markdown, files } = writeMarkdown(reviewOf(material));
    expect(markdown).toContain('![Unit: On axis](figures/unit-on-axis.svg)');
    expect(markdown).toContain('heard \\| so');
    expect(markdown.startsWith('# A \\<b\\>loud\\</b\\> one')).toBe(true);
    expect(files.map(({ path }) => path)).toEqual(['figures/unit-on-axis.svg', 'figures/unit-on-axis.csv']);
  });

  it('holds nothing of a hidden part, nor of what quotes it', () => {
    const seen = (hidden: Parameters<typeof reviewOf>[1]) => JSON.stringify(reviewOf(material, hidden));
    expect(seen(new Set(['findings']))).not.toContain('4.2 dB');
    expect(seen(new Set(['numbers']))).not.toMatch(/86\.4|4\.2 dB at 200 Hz\."\]/);
    expect(seen(new Set(['figures']))).not.toMatch(/svg|On axis/);
    expect(seen(new Set(['pros-cons']))).not.toMatch(/Even|Thin/);
    expect(seen(new Set(['suggestions']))).not.toContain('Near a wall');
    expect(seen(new Set(['text']))).not.toContain('fine');
    expect(seen(new Set())).toMatch(/4\.2 dB.*|86\.4/);
  });
});
