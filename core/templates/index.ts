import { acetylsalicylicAcid } from './acetylsalicylic-acid.ts';
import { adipicAcid } from './adipic-acid.ts';
import { benzilicAcid } from './benzilic-acid.ts';
import { benzocaine } from './benzocaine.ts';
import { benzoicAcid } from './benzoic-acid.ts';
import { isopentylAcetate } from './isopentyl-acetate.ts';
import { methyl3Nitrobenzoate } from './methyl-3-nitrobenzoate.ts';
import { potassiumTrisoxalatoferrate } from './potassium-trisoxalatoferrate.ts';
import type { Template } from './template.ts';

export { contentFromTemplate } from './content-from-template.ts';
export type { Template, TemplateContent } from './template.ts';

/** Every procedure template that ships with the program, the gentlest first. */
export const templates: readonly Template[] = [
  acetylsalicylicAcid,
  isopentylAcetate,
  benzoicAcid,
  benzocaine,
  benzilicAcid,
  potassiumTrisoxalatoferrate,
  methyl3Nitrobenzoate,
  adipicAcid,
];

const byId = new Map(templates.map((template) => [template.id, template]));

/** @returns undefined for an id this program does not know. */
export const templateById = (id: string): Template | undefined => byId.get(id);
