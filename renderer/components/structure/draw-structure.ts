import { structureLibrary } from './structure-library.ts';

/** A drawing ready for the page: own colours and classes removed, so that it takes the ink around it. */
export interface Drawing {
  readonly svg: string;
  readonly widthPx: number;
  readonly heightPx: number;
}

const drawn = new Map<string, Drawing | null>();

/**
 * Draws a structure with all bonds of all drawings equally long.
 *
 * @returns null when the SMILES cannot be read
 */
export async function drawStructure(smiles: string): Promise<Drawing | null> {
  const known = drawn.get(smiles);
  if (known !== undefined) return known;
  const { Molecule } = await structureLibrary();
  let drawing: Drawing | null = null;
  try {
    const molecule = Molecule.fromSmiles(smiles);
    if (molecule.getAllAtoms() > 0) drawing = asDrawing(molecule.toSVG(900, 600, 'structure', options));
  } catch {
    drawing = null;
  }
  drawn.set(smiles, drawing);
  return drawing;
}

const options = {
  autoCrop: true,
  autoCropMargin: 4,
  suppressChiralText: true,
  suppressESR: true,
  suppressCIPParity: true,
  fontWeight: 400,
  strokeWidth: 1.5,
};

/** Keeps only lines, polygons and letters; our page's policy forbids the library's own style element. */
function asDrawing(svg: string): Drawing | null {
  // Taken out before parsing: the policy already objects to parsing it.
  const bare = svg.replace(/<style>.*?<\/style>/su, '');
  const document = new DOMParser().parseFromString(bare, 'image/svg+xml');
  const root = document.documentElement;
  if (root.nodeName !== 'svg') return null;
  for (const node of root.querySelectorAll('style, script, .event')) node.remove();
  for (const node of [root, ...root.querySelectorAll('*')]) {
    node.removeAttribute('id');
    node.removeAttribute('class');
    for (const name of ['fill', 'stroke']) {
      const value = node.getAttribute(name);
      if (value !== null && value !== 'none') node.setAttribute(name, 'currentColor');
    }
  }
  const widthPx = Number.parseFloat(root.getAttribute('width') ?? '0');
  const heightPx = Number.parseFloat(root.getAttribute('height') ?? '0');
  root.setAttribute('aria-hidden', 'true');
  root.setAttribute('focusable', 'false');
  return { svg: new XMLSerializer().serializeToString(root), widthPx, heightPx };
}
