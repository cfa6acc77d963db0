/**
 * Masses of the isotopes that labelled compounds of a teaching laboratory contain, in Da and so
 * numerically g/mol, with their standard uncertainties.
 *
 * Edition: AME2020 (M. Wang et al., Chinese Phys. C 45 (2021) 030003), as CIAAW lists it; through the
 * open data set MilanSkocic/ciaaw.
 */
export const isotopeEdition = 'AME2020 atomic masses (Wang et al., Chinese Phys. C 45 (2021) 030003)';

export interface IsotopeMass {
  /** g/mol */
  readonly mass: number;
  /** Standard uncertainty, g/mol. */
  readonly uncertainty: number;
}

const isotopes: Readonly<Record<string, readonly [mass: number, uncertainty: number]>> = {
  '1H': [1.007825031898, 1.4e-11],
  '2H': [2.014101777844, 1.5e-11],
  '3H': [3.01604928132, 8e-11],
  '6Li': [6.01512288742, 1.55e-9],
  '7Li': [7.01600343426, 4.5e-9],
  '10B': [10.012936862, 1.6e-8],
  '11B': [11.009305166, 1.3e-8],
  // The unit itself is defined by this one.
  '12C': [12, 0],
  '13C': [13.00335483534, 2.5e-10],
  '14C': [14.00324198862, 4.03e-9],
  '14N': [14.00307400425, 2.4e-10],
  '15N': [15.00010889827, 6.2e-10],
  '16O': [15.99491461926, 3.2e-10],
  '17O': [16.99913175595, 6.9e-10],
  '18O': [17.99915961214, 6.9e-10],
  '18F': [18.000937324, 4.97e-7],
  '19F': [18.99840316207, 8.8e-10],
  '24Mg': [23.985041689, 1.3e-8],
  '25Mg': [24.985836966, 5e-8],
  '26Mg': [25.982592972, 3.1e-8],
  '28Si': [27.97692653442, 5.5e-10],
  '29Si': [28.97649466434, 6e-10],
  '30Si': [29.973770137, 2.3e-8],
  '31P': [30.97376199768, 8e-10],
  '32P': [31.973907643, 4.2e-8],
  '32S': [31.97207117354, 1.41e-9],
  '33S': [32.97145890862, 1.44e-9],
  '34S': [33.967867011, 4.7e-8],
  '35S': [34.969032321, 4.3e-8],
  '36S': [35.967080692, 2.01e-7],
  '35Cl': [34.968852694, 3.8e-8],
  '36Cl': [35.968306822, 3.8e-8],
  '37Cl': [36.965902573, 5.5e-8],
  '39K': [38.96370648482, 4.89e-9],
  '40K': [39.963998165, 6e-8],
  '41K': [40.96182525611, 4.03e-9],
  '40Ca': [39.96259085, 2.2e-8],
  '44Ca': [43.955481489, 3.48e-7],
  '54Fe': [53.939608189, 3.68e-7],
  '56Fe': [55.934935537, 2.87e-7],
  '57Fe': [56.93539195, 2.87e-7],
  '60Co': [59.933815536, 4.33e-7],
  '63Cu': [62.929597119, 4.57e-7],
  '65Cu': [64.927789476, 6.9e-7],
  '64Zn': [63.929141776, 6.9e-7],
  '77Se': [76.91991415, 6.7e-8],
  '79Br': [78.918337574, 1.074e-6],
  '81Br': [80.916288197, 1.049e-6],
  '109Ag': [108.904755778, 1.381e-6],
  '119Sn': [118.903311266, 7.78e-7],
};

const masses: ReadonlyMap<string, IsotopeMass> = new Map(
  Object.entries(isotopes).map(([key, [mass, uncertainty]]) => [key, { mass, uncertainty }]),
);

/** @returns null for an isotope that is not in the table */
export const isotopeMass = (element: string, massNumber: number): IsotopeMass | null =>
  masses.get(`${massNumber}${element}`) ?? null;
