import type { Molecule as MoleculeClass } from 'openchemlib';
import { inks } from './palette.ts';
import { num, svgLine } from './svg-text.ts';
import type { Typesetter } from './typeset.ts';

/** A structure as an SVG group in its own units: a bond is `bondLength` long. */
export interface Structure {
  readonly svg: string;
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}
export const bondLength = 24;

interface Label {
  readonly text: string;
  readonly x: number;
  readonly y: number;
  readonly size: number;
}
interface Atom {
  readonly x: number;
  readonly y: number;
}

const labelSize = 14;
/** Half the cap height of the label face, as a fraction of its size. */
const halfCap = 0.33;
const cache = new Map<string, Structure | null>();

/**
 * Draws structures from SMILES: openchemlib places atoms and bonds, the labels are set again in our
 * own face, since its drawing assumes the widths of another and would leave gaps ("O H").
 */
export class StructureDrawer {
  private readonly molecule: typeof MoleculeClass;
  private readonly type: Typesetter;

  private constructor(molecule: typeof MoleculeClass, type: Typesetter) {
    this.molecule = molecule;
    this.type = type;
  }

  /** Loading the chemistry library takes a third of a second: only a document with structures pays for it. */
  static async load(type: Typesetter): Promise<StructureDrawer> {
    return new StructureDrawer((await import('openchemlib')).Molecule, type);
  }

  /** @returns null when the SMILES cannot be read: the formula is printed instead */
  draw(smiles: string): Structure | null {
    const known = cache.get(smiles);
    if (known !== undefined) return known;
    const drawing = this.make(smiles);
    if (cache.size > 2000) cache.clear();
    cache.set(smiles, drawing);
    return drawing;
  }

  private make(smiles: string): Structure | null {
    let source: string;
    try {
      // The frame is larger than any molecule, so the bond length is the same for all.
      source = this.molecule.fromSmiles(smiles).toSVG(4000, 4000, 's', {
        suppressChiralText: true,
        suppressCIPParity: true,
        suppressESR: true,
        noStereoProblem: true,
      });
    } catch {
      return null;
    }
    const box = new Box();
    const color = inks.print;
    let svg = '';
    const atoms: Atom[] = [];
    const labels: Label[] = [];
    for (const [, name = '', body = '', text = ''] of source.matchAll(
      /<(line|polygon|circle|text)\b([^>]*?)(?:\/>|>([^<]*)<\/text>)/g,
    )) {
      const at = (key: string): number => Number(new RegExp(` ${key}="([-\\d.]+)"`).exec(body)?.[1]);
      if (name === 'circle') atoms.push({ x: at('cx'), y: at('cy') });
      else if (name === 'text') labels.push({ text, x: at('x'), y: at('y'), size: at('font-size') });
      else if (body.includes('class="event"')) continue;
      else if (name === 'line') {
        box.add(at('x1'), at('y1'));
        box.add(at('x2'), at('y2'));
        svg +=
          `<line x1="${num(at('x1'))}" y1="${num(at('y1'))}" x2="${num(at('x2'))}" y2="${num(at('y2'))}"` +
          ` stroke="${color}" stroke-width="1.35" stroke-linecap="round"/>`;
      } else {
        const points = / points="([^"]*)"/.exec(body)?.[1] ?? '';
        const numbers = points
          .trim()
          .split(/[\s,]+/)
          .map(Number);
        for (let index = 0; index + 1 < numbers.length; index += 2) {
          box.add(numbers[index] ?? 0, numbers[index + 1] ?? 0);
        }
        svg += `<polygon points="${numbers.map(num).join(' ')}" fill="${color}" stroke="${color}" stroke-width="0.6" stroke-linejoin="round"/>`;
      }
    }
    svg += this.labels(labels, atoms, box);
    return box.isEmpty ? null : { svg, left: box.left, top: box.top, width: box.width, height: box.height };
  }

  /** Sets each atom's label with its own letter centred on the atom and the rest closed up to it. */
  private labels(labels: readonly Label[], atoms: readonly Atom[], box: Box): string {
    let out = '';
    for (const { atom, parts } of grouped(labels, atoms)) {
      const [centre, ...others] = parts;
      if (centre === undefined) continue;
      const width = this.width(centre);
      let left = atom.x - width / 2;
      let right = atom.x + width / 2;
      out += this.set(centre, left, atom.y, centre, box);
      const isRight = (part: Label): boolean => part.x > centre.x;
      for (const part of others.filter(isRight).sort((a, b) => a.x - b.x)) {
        const gap = /[+\-−]/.test(part.text) ? 0.8 : 0;
        out += this.set(part, right + gap, atom.y, centre, box);
        right += this.width(part) + gap;
      }
      for (const part of others.filter((one) => !isRight(one)).sort((a, b) => b.x - a.x)) {
        left -= this.width(part);
        out += this.set(part, left, atom.y, centre, box);
      }
    }
    return out;
  }

  private width(label: Label): number {
    return this.type.width(
      this.type.pieces([{ text: proper(label.text) }], { face: 'sans', size: label.size }),
    );
  }

  private set(label: Label, x: number, atomY: number, centre: Label, box: Box): string {
    const baseline = atomY + halfCap * labelSize + (label.y - centre.y) * (label.y > centre.y ? 0.9 : 1);
    box.add(x, baseline - label.size * 0.72);
    box.add(x + this.width(label), baseline + 1);
    return svgLine(
      [{ text: proper(label.text) }],
      { face: 'sans', size: label.size },
      x,
      baseline,
      'start',
      this.type,
    );
  }
}

/** A charge is printed with a real minus. */
const proper = (text: string): string => text.replace('-', '−');

/** Parts of each atom's label, its own symbol first. */
function grouped(labels: readonly Label[], atoms: readonly Atom[]): { atom: Atom; parts: Label[] }[] {
  const groups: { atom: Atom; parts: Label[] }[] = [];
  const rest: Label[] = [];
  for (const label of labels) {
    const atom = atoms.find(
      ({ x, y }) =>
        label.size === labelSize &&
        Math.abs(label.y - labelSize / 3 - y) < 0.6 &&
        x - label.x > 1.5 &&
        x - label.x < (label.text.length === 1 ? 8 : 12.5),
    );
    if (atom === undefined) rest.push(label);
    else groups.push({ atom, parts: [label] });
  }
  for (const label of rest) {
    let nearest: (typeof groups)[number] | undefined;
    let distance = Infinity;
    for (const group of groups) {
      const apart =
        Math.abs(group.atom.x - (label.x + label.size * 0.35)) +
        3 * Math.abs(group.atom.y + labelSize / 3 - label.y);
      if (apart < distance) [nearest, distance] = [group, apart];
    }
    nearest?.parts.push(label);
  }
  return groups;
}

class Box {
  left = Infinity;
  top = Infinity;
  private right = -Infinity;
  private bottom = -Infinity;

  add(x: number, y: number): void {
    this.left = Math.min(this.left, x);
    this.right = Math.max(this.right, x);
    this.top = Math.min(this.top, y);
    this.bottom = Math.max(this.bottom, y);
  }
  get isEmpty(): boolean {
    return this.left === Infinity;
  }
  get width(): number {
    return this.right - this.left;
  }
  get height(): number {
    return this.bottom - this.top;
  }
}
