import * as v from 'valibot';

/**
 * A reaction sheet: a preparation written by hand or by another program, worked out without a
 * notebook. Every quantity is a text with its unit, as one writes it: "2.00 g", "1.082 g/mL", "20 °C".
 */
const quantity = v.pipe(
  v.string(),
  v.nonEmpty(),
  v.maxLength(60),
  v.description('A number and its unit with a space between: "2.00 g". The figures typed are kept.'),
);
const shortText = v.pipe(v.string(), v.maxLength(500));
const id = v.pipe(v.string(), v.regex(/^[A-Za-z0-9_-]{1,40}$/), v.description('Letters, digits, - and _.'));

const weighed = {
  density: v.optional(
    v.pipe(quantity, v.description('Of the solution as a whole; weighing it out needs it.')),
  ),
  densityTemperature: v.optional(quantity),
};
const strength = v.variant('kind', [
  v.strictObject({ kind: v.literal('amount-concentration'), value: quantity, ...weighed }),
  v.strictObject({ kind: v.literal('mass-fraction'), value: quantity, ...weighed }),
  v.strictObject({ kind: v.literal('mass-per-volume'), value: quantity, ...weighed }),
  v.strictObject({
    kind: v.literal('volume-fraction'),
    value: quantity,
    neatDensity: v.optional(v.pipe(quantity, v.description('Of the pure liquid.'))),
    ...weighed,
  }),
  v.strictObject({ kind: v.literal('molality'), value: quantity, ...weighed }),
  v.strictObject({
    kind: v.literal('normality'),
    value: quantity,
    equivalenceFactor: v.optional(quantity),
    ...weighed,
  }),
  v.strictObject({ kind: v.literal('parts-per-million'), value: quantity, ...weighed }),
  v.pipe(
    v.strictObject({
      kind: v.literal('parts-by-volume'),
      value: quantity,
      stockParts: v.optional(quantity),
      waterParts: v.optional(quantity),
      ...weighed,
    }),
    v.description('"1 : 2": parts of a stock of `value` (mol/L) with parts of water, by volume.'),
  ),
  v.strictObject({ kind: v.literal('oxygen-volumes'), value: quantity, ...weighed }),
]);

const supply = v.variant('kind', [
  v.strictObject({ kind: v.literal('solid'), assay: v.optional(quantity) }),
  v.strictObject({
    kind: v.literal('neat-liquid'),
    density: v.optional(quantity),
    densityTemperature: v.optional(quantity),
    assay: v.optional(quantity),
  }),
  v.strictObject({ kind: v.literal('solution'), strength: v.optional(strength) }),
  v.strictObject({
    kind: v.literal('gas'),
    temperature: v.optional(quantity),
    pressure: v.optional(quantity),
  }),
]);

const measure = v.strictObject({
  by: v.picklist(['mass', 'volume', 'amount', 'equivalents', 'mole-percent']),
  value: quantity,
  instrument: v.optional(shortText),
  drop: v.optional(
    v.pipe(
      v.strictObject({
        drops: quantity,
        make: quantity,
        uncertainty: v.optional(v.pipe(quantity, v.description('± limit of `make`: "0.1 mL".'))),
        countUncertainty: v.optional(
          v.pipe(quantity, v.description('± limit of the count: "2 drops"; one drop where left out.')),
        ),
      }),
      v.description('With a `value` in drops: so many `drops` make up so much, "20 drops" and "1.0 mL".'),
    ),
  ),
});

const stage = {
  title: shortText,
  entryNumber: v.optional(v.pipe(v.number(), v.integer(), v.minValue(0))),
  yield: v.optional(v.pipe(quantity, v.description('Pure percentage yield of that preparation: "82.1 %".'))),
  yieldUncertainty: v.optional(v.pipe(quantity, v.description('Its standard uncertainty: "0.9 %".'))),
};
const origin = v.pipe(
  v.strictObject({
    ...stage,
    mass: v.optional(quantity),
    lines: v.optional(
      v.pipe(v.array(v.pipe(v.array(v.strictObject(stage)), v.maxLength(50))), v.maxLength(50)),
    ),
  }),
  v.description('The earlier preparation a row was made in; `lines` are those before it, the nearest first.'),
);

const row = v.strictObject({
  id,
  name: shortText,
  formula: v.optional(v.pipe(shortText, v.description('May be left out where `smiles` gives it.')), ''),
  smiles: v.optional(
    v.pipe(v.string(), v.maxLength(2000), v.description('Structure; a formula that contradicts it is told.')),
  ),
  equationFormula: v.optional(
    v.pipe(shortText, v.description('As it stands in the equation, where that differs from the bottle.')),
  ),
  unitsPerFormula: v.optional(v.pipe(v.number(), v.minValue(0.01), v.maxValue(100))),
  role: v.picklist([
    'reactant',
    'reagent',
    'catalyst',
    'solvent',
    'work-up',
    'drying-agent',
    'product',
    'by-product',
  ]),
  supply: v.optional(supply),
  origin: v.optional(origin),
  planned: v.optional(measure),
  taken: v.optional(measure),
});

const weighing = v.strictObject({ mass: quantity, instrument: v.optional(shortText) });

const series = v.array(v.record(v.string(), v.pipe(v.string(), v.maxLength(60))));

export const sheetSchema = v.strictObject({
  format: v.literal('fairleaf-sheet/1'),
  title: v.optional(shortText),
  equation: v.optional(v.pipe(v.string(), v.maxLength(2000))),
  product: v.optional(v.pipe(id, v.description('Id of the row that yields refer to.'))),
  expectedYield: v.optional(quantity),
  rows: v.optional(v.pipe(v.array(row), v.maxLength(200))),
  result: v.optional(
    v.strictObject({
      crude: v.optional(weighing),
      pure: v.optional(weighing),
      meltingRange: v.optional(v.strictObject({ from: quantity, to: quantity })),
      boilingRange: v.optional(
        v.strictObject({ from: quantity, to: quantity, pressure: v.optional(quantity) }),
      ),
      refractiveIndex: v.optional(v.strictObject({ value: quantity, temperature: v.optional(quantity) })),
    }),
  ),
  literature: v.optional(
    v.strictObject({
      meltingRange: v.optional(
        v.strictObject({ from: quantity, to: v.optional(quantity), source: shortText }),
      ),
      boilingPoint: v.optional(
        v.strictObject({ value: quantity, pressure: v.optional(quantity), source: shortText }),
      ),
      refractiveIndex: v.optional(
        v.strictObject({ value: quantity, temperature: quantity, source: shortText }),
      ),
    }),
  ),
  scale: v.optional(
    v.pipe(
      v.variant('to', [
        v.strictObject({ to: v.literal('factor'), factor: v.number() }),
        v.strictObject({
          to: v.literal('product'),
          mass: v.pipe(quantity, v.description('Product wanted, at `expectedYield`: "5.0 g".')),
        }),
        v.strictObject({ to: v.literal('available'), row: id, quantity }),
      ]),
      v.description(
        'Another size of the plan: by a factor, backwards from the product wanted, or to what is left of one row. The planned side is worked out at that size.',
      ),
    ),
  ),
  calculations: v.optional(
    v.pipe(
      v.array(
        v.strictObject({
          calculation: shortText,
          inputs: v.pipe(
            v.record(v.string(), v.union([v.pipe(v.string(), v.maxLength(200)), series])),
            v.description('Field key to quantity, choice, formula, or a list of lines for a series.'),
          ),
        }),
      ),
      v.maxLength(200),
      v.description('Calculations beside the table; `work-out --list` names them and their fields.'),
    ),
  ),
});

export type Sheet = v.InferOutput<typeof sheetSchema>;
