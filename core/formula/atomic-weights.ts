/**
 * Standard atomic weights, the abridged values to five significant figures with the uncertainty the
 * table gives them ("value ± U"), dimensionless and so numerically g/mol.
 *
 * Edition: Standard Atomic Weights 2021, IUPAC Commission on Isotopic Abundances and Atomic Weights;
 * T. Prohaska et al., Pure Appl. Chem. 94 (2022) 573, table 1 and the abridged values beside it. The
 * figures came through the open data set MilanSkocic/ciaaw, with its slip at beryllium (± 0.00001 for
 * ± 0.0001) put right.
 *
 * For the elements whose standard value is an interval (H, Li, B, C, N, O, Mg, Si, S, Cl, Ar, Br, Tl,
 * Pb) the abridged value is not the middle of the interval, and is the one to calculate with.
 */
export const atomicWeightEdition =
  'IUPAC/CIAAW standard atomic weights 2021, abridged (Prohaska et al., Pure Appl. Chem. 94 (2022) 573)';

export interface AtomicWeight {
  readonly name: string;
  readonly atomicNumber: number;
  /** g/mol; null where no stable isotope mixture gives a standard value. */
  readonly weight: number | null;
  /** U of "value ± U", g/mol; limits, not a standard uncertainty. */
  readonly uncertainty: number | null;
  /** Significant figures as tabulated. */
  readonly significantFigures: number;
}

const rows: readonly (readonly [
  symbol: string,
  name: string,
  weight: string | null,
  uncertainty: number | null,
])[] = [
  ['H', 'hydrogen', '1.0080', 0.0002],
  ['He', 'helium', '4.0026', 0.0001],
  ['Li', 'lithium', '6.94', 0.06],
  ['Be', 'beryllium', '9.0122', 0.0001],
  ['B', 'boron', '10.81', 0.02],
  ['C', 'carbon', '12.011', 0.002],
  ['N', 'nitrogen', '14.007', 0.001],
  ['O', 'oxygen', '15.999', 0.001],
  ['F', 'fluorine', '18.998', 0.001],
  ['Ne', 'neon', '20.180', 0.001],
  ['Na', 'sodium', '22.990', 0.001],
  ['Mg', 'magnesium', '24.305', 0.002],
  ['Al', 'aluminium', '26.982', 0.001],
  ['Si', 'silicon', '28.085', 0.001],
  ['P', 'phosphorus', '30.974', 0.001],
  ['S', 'sulfur', '32.06', 0.02],
  ['Cl', 'chlorine', '35.45', 0.01],
  ['Ar', 'argon', '39.95', 0.16],
  ['K', 'potassium', '39.098', 0.001],
  ['Ca', 'calcium', '40.078', 0.004],
  ['Sc', 'scandium', '44.956', 0.001],
  ['Ti', 'titanium', '47.867', 0.001],
  ['V', 'vanadium', '50.942', 0.001],
  ['Cr', 'chromium', '51.996', 0.001],
  ['Mn', 'manganese', '54.938', 0.001],
  ['Fe', 'iron', '55.845', 0.002],
  ['Co', 'cobalt', '58.933', 0.001],
  ['Ni', 'nickel', '58.693', 0.001],
  ['Cu', 'copper', '63.546', 0.003],
  ['Zn', 'zinc', '65.38', 0.02],
  ['Ga', 'gallium', '69.723', 0.001],
  ['Ge', 'germanium', '72.630', 0.008],
  ['As', 'arsenic', '74.922', 0.001],
  ['Se', 'selenium', '78.971', 0.008],
  ['Br', 'bromine', '79.904', 0.003],
  ['Kr', 'krypton', '83.798', 0.002],
  ['Rb', 'rubidium', '85.468', 0.001],
  ['Sr', 'strontium', '87.62', 0.01],
  ['Y', 'yttrium', '88.906', 0.001],
  ['Zr', 'zirconium', '91.224', 0.002],
  ['Nb', 'niobium', '92.906', 0.001],
  ['Mo', 'molybdenum', '95.95', 0.01],
  ['Tc', 'technetium', null, null],
  ['Ru', 'ruthenium', '101.07', 0.02],
  ['Rh', 'rhodium', '102.91', 0.01],
  ['Pd', 'palladium', '106.42', 0.01],
  ['Ag', 'silver', '107.87', 0.01],
  ['Cd', 'cadmium', '112.41', 0.01],
  ['In', 'indium', '114.82', 0.01],
  ['Sn', 'tin', '118.71', 0.01],
  ['Sb', 'antimony', '121.76', 0.01],
  ['Te', 'tellurium', '127.60', 0.03],
  ['I', 'iodine', '126.90', 0.01],
  ['Xe', 'xenon', '131.29', 0.01],
  ['Cs', 'caesium', '132.91', 0.01],
  ['Ba', 'barium', '137.33', 0.01],
  ['La', 'lanthanum', '138.91', 0.01],
  ['Ce', 'cerium', '140.12', 0.01],
  ['Pr', 'praseodymium', '140.91', 0.01],
  ['Nd', 'neodymium', '144.24', 0.01],
  ['Pm', 'promethium', null, null],
  ['Sm', 'samarium', '150.36', 0.02],
  ['Eu', 'europium', '151.96', 0.01],
  ['Gd', 'gadolinium', '157.25', 0.03],
  ['Tb', 'terbium', '158.93', 0.01],
  ['Dy', 'dysprosium', '162.50', 0.01],
  ['Ho', 'holmium', '164.93', 0.01],
  ['Er', 'erbium', '167.26', 0.01],
  ['Tm', 'thulium', '168.93', 0.01],
  ['Yb', 'ytterbium', '173.05', 0.02],
  ['Lu', 'lutetium', '174.97', 0.01],
  ['Hf', 'hafnium', '178.49', 0.01],
  ['Ta', 'tantalum', '180.95', 0.01],
  ['W', 'tungsten', '183.84', 0.01],
  ['Re', 'rhenium', '186.21', 0.01],
  ['Os', 'osmium', '190.23', 0.03],
  ['Ir', 'iridium', '192.22', 0.01],
  ['Pt', 'platinum', '195.08', 0.02],
  ['Au', 'gold', '196.97', 0.01],
  ['Hg', 'mercury', '200.59', 0.01],
  ['Tl', 'thallium', '204.38', 0.01],
  ['Pb', 'lead', '207.2', 1.1],
  ['Bi', 'bismuth', '208.98', 0.01],
  ['Po', 'polonium', null, null],
  ['At', 'astatine', null, null],
  ['Rn', 'radon', null, null],
  ['Fr', 'francium', null, null],
  ['Ra', 'radium', null, null],
  ['Ac', 'actinium', null, null],
  ['Th', 'thorium', '232.04', 0.01],
  ['Pa', 'protactinium', '231.04', 0.01],
  ['U', 'uranium', '238.03', 0.01],
  ['Np', 'neptunium', null, null],
  ['Pu', 'plutonium', null, null],
  ['Am', 'americium', null, null],
  ['Cm', 'curium', null, null],
  ['Bk', 'berkelium', null, null],
  ['Cf', 'californium', null, null],
  ['Es', 'einsteinium', null, null],
  ['Fm', 'fermium', null, null],
  ['Md', 'mendelevium', null, null],
  ['No', 'nobelium', null, null],
  ['Lr', 'lawrencium', null, null],
  ['Rf', 'rutherfordium', null, null],
  ['Db', 'dubnium', null, null],
  ['Sg', 'seaborgium', null, null],
  ['Bh', 'bohrium', null, null],
  ['Hs', 'hassium', null, null],
  ['Mt', 'meitnerium', null, null],
  ['Ds', 'darmstadtium', null, null],
  ['Rg', 'roentgenium', null, null],
  ['Cn', 'copernicium', null, null],
  ['Nh', 'nihonium', null, null],
  ['Fl', 'flerovium', null, null],
  ['Mc', 'moscovium', null, null],
  ['Lv', 'livermorium', null, null],
  ['Ts', 'tennessine', null, null],
  ['Og', 'oganesson', null, null],
];

/** All 118 elements by symbol, in the order of their atomic numbers. */
export const atomicWeights: ReadonlyMap<string, AtomicWeight> = new Map(
  rows.map(([symbol, name, weight, uncertainty], index) => [
    symbol,
    {
      name,
      atomicNumber: index + 1,
      weight: weight === null ? null : Number(weight),
      uncertainty,
      significantFigures: weight === null ? 0 : weight.replace('.', '').length,
    },
  ]),
);
