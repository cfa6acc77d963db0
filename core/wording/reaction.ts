/**
 * Sentences for the reagent table, the yields, the identity of the product, the procedure and the
 * entry as a whole. Each says what is wrong and, where there is one, what to do.
 */
import { dateText } from '../record/when.ts';

type Facts = Readonly<Record<string, string | number>>;

const text = (facts: Facts, key: string): string => String(facts[key] ?? '');
const named = (facts: Facts): string => (text(facts, 'name') === '' ? 'This row' : text(facts, 'name'));
const sided = (facts: Facts): string => (text(facts, 'side') === 'taken' ? 'taken' : 'planned');
const listed = (facts: Facts): string =>
  text(facts, 'by') === '' ? '' : ` As typed it is out of balance: ${text(facts, 'by')}.`;
const against = (facts: Facts): string =>
  `the published ${text(facts, 'literature')} (${text(facts, 'source')})`;

const table: Readonly<Record<string, (facts: Facts) => string>> = {
  'missing-assay': (f) =>
    `${named(f)}: the assay is missing. Take it from the label; write 100 % only if it says so.`,
  'assay-too-high': (f) =>
    `${named(f)}: an assay of ${text(f, 'assay')} % cannot be right; labels go a little over 100 % at most. Read the label again.`,
  'missing-density': (f) =>
    `${named(f)}: the density is missing, so mass and volume cannot be turned into each other.`,
  'missing-neat-density': (f) =>
    `${named(f)}: the density of the pure liquid is missing; a percentage by volume needs it.`,
  'missing-strength': (f) =>
    `${named(f)}: the strength of the solution is missing, with how it is meant (mol/L, % w/w, % w/v …).`,
  'missing-equivalence-factor': (f) =>
    `${named(f)}: a normality needs the equivalents per mole in this reaction.`,
  'missing-parts': (f) =>
    `${named(f)}: say how many parts of the stock solution and how many of water, by volume.`,
  'missing-temperature': (f) => `${named(f)}: the temperature of the gas is missing.`,
  'missing-pressure': (f) => `${named(f)}: the pressure of the gas is missing.`,
  'constant-zero': (f) => `${named(f)}: this value cannot be zero.`,
  'oxygen-volumes-not-peroxide': (f) =>
    `${named(f)}: volumes of oxygen describe hydrogen peroxide only; the formula of the row is not H₂O₂.`,
  'measure-zero': (f) => `${named(f)}: zero was typed. Leave the cell empty when nothing is meant.`,
  'drops-need-volume': (f) =>
    `${named(f)}: drops differ in size, so no amount follows from them. Say how many make up what volume, or give a volume, where the amount matters.`,
  'drop-size-open': (f) =>
    f['part'] === 'drops'
      ? `${named(f)}: how many drops were counted off to find their size? A number above zero.`
      : `${named(f)}: what volume or mass did the drops make up that were counted off? Above zero.`,
  'gas-in-drops': (f) => `${named(f)}: a gas is not counted in drops.`,
  'solid-by-volume': (f) => `${named(f)}: a solid is weighed; its volume says nothing about the amount.`,
  'mass-needs-density': (f) =>
    `${named(f)}: a solution of this strength that is weighed out needs its density; or measure it by volume.`,
  'not-measured': (f) =>
    `${named(f)}: nothing is entered as ${sided(f)}, so the limiting reagent cannot be told.`,
  'not-in-equation': (f) =>
    `${named(f)}: ${text(f, 'formula') || 'its formula'} does not stand on the ${text(f, 'side') || 'right'} of the equation. Give the formula as it stands there.`,
  'units-per-formula': (f) =>
    `${named(f)}: the number of units that one formula brings has to be above zero and at most 1000.`,
  'equivalents-need-limiting': (f) =>
    `${named(f)}: equivalents need a limiting reagent. Enter at least one reactant by mass, volume or amount.`,
  'equivalents-below-one': (f) =>
    `${named(f)}: with ${text(f, 'equivalents')} equivalents it would itself be the limiting reagent. Enter it by mass, volume or amount.`,
  'reactant-in-mole-percent': (f) =>
    `${named(f)}: mole per cent is for catalysts. Enter a reactant by mass, volume, amount or equivalents.`,
  'product-is-computed': (f) =>
    `${named(f)}: a product is made, not measured out; its row is computed. The mass obtained belongs under Result.`,
  'product-missing': () => 'No row is marked as the main product, so there is no theoretical yield.',
  'equation-unbalanced': (f) => `The equation cannot be balanced.${listed(f)}`,
  'equation-not-unique': (f) =>
    `Several independent sets of coefficients balance this equation, and chemistry has to choose.${listed(f)} Type the coefficients${text(f, 'example') === '' ? '' : `, for instance ${text(f, 'example')}`}.`,
  'equation-coefficients-large': (f) =>
    `The equation balances only with a coefficient of ${text(f, 'largest')}. Is a by-product missing? If not, type the coefficients.${listed(f)}`,
  'equation-coefficients-differ': (f) =>
    `The coefficients typed do not balance.${listed(f)} The table counts with ${text(f, 'used')}.`,
};

const kindWords: Readonly<Record<string, string>> = {
  crude: 'The crude yield',
  pure: 'The pure yield',
  recovery: 'The recovery',
};

/** Over 100 % is questioned: what could explain it, and by how much. */
function overHundred(f: Facts): string {
  const what = kindWords[text(f, 'kind')] ?? 'The yield';
  const times = text(f, 'times') === '' ? '' : `, ${text(f, 'times')} standard uncertainties above 100 %`;
  const start = `${what} is ${text(f, 'percent')} %${times}.`;
  if (text(f, 'isWithin') === 'yes') {
    return `${start} That is still within the uncertainty of measuring; dry to constant mass to be sure.`;
  }
  const rest =
    text(f, 'kind') === 'recovery'
      ? 'No purification adds product: check both weighings and whether the second sample was dry.'
      : 'Was it dry, is something else in it, was the right reagent taken as limiting?';
  return `${start} ${text(f, 'solventG')} g of solvent or other matter held would explain it. ${rest}`;
}

/** "below the published 1.40" with a difference of nothing reads badly. */
function refraction(f: Facts): string {
  const start = `Corrected to ${text(f, 'at')} the refractive index is ${text(f, 'corrected')}`;
  return Number(f['by'] ?? 0) === 0
    ? `${start}, which meets ${against(f)}`
    : `${start}, ${text(f, 'by')} ${text(f, 'side')} ${against(f)}`;
}
const coarsely = (f: Facts): string =>
  `The ${text(f, 'coarse') === 'published' ? 'published value' : 'reading'} has only ${text(f, 'decimals')} decimal${text(f, 'decimals') === '1' ? '' : 's'}`;

const result: Readonly<Record<string, (facts: Facts) => string>> = {
  'nothing-taken': () =>
    'No amounts taken are written down. A yield is reckoned on what was taken, never on the plan.',
  'yield-over-100': overHundred,
  'origin-yield-missing': (f) =>
    `${named(f)}: the pure yield of ${text(f, 'entry') || 'the earlier entry'} is not known, so there is no overall yield.`,
  'origin-yield-unfit': (f) =>
    `${named(f)}: the pure yield of ${text(f, 'entry') || 'the earlier entry'} has to be above zero.`,
  'origin-overdrawn': (f) =>
    `${named(f)}: ${text(f, 'taken')} is ${sided(f)}, more than the ${text(f, 'mass')} that ${text(f, 'entry') || 'the earlier entry'} gave.`,
  'melting-range-reversed': (f) =>
    `The melting range runs from ${text(f, 'from')} to ${text(f, 'to')}: the wrong way round. First comes the first melt, then the last crystal.`,
  'melting-one-end': (f) =>
    `Only ${text(f, 'value')} is noted. A melting range has two ends: first melt and last crystal gone.`,
  'melting-width': (f) => {
    const width = `It melts over ${text(f, 'width')}`;
    switch (text(f, 'grade')) {
      case 'sharp':
        return `${width}, which is sharp.`;
      case 'usual':
        return `${width}, which is usual for a good product.`;
      case 'wide':
        return `${width}, which is wide: some other substance or solvent may be left, or it was heated too fast.`;
      default:
        return `${width}. So wide a range points to other substances or damp, or to heating too fast.`;
    }
  },
  'melting-agrees': (f) =>
    `The range meets ${against(f)}. That agrees with the substance expected; alone it proves neither identity nor purity.`,
  'melting-near': (f) =>
    `The range lies ${text(f, 'by')} ${text(f, 'side')} ${against(f)}, no further than an ordinary thermometer can tell. That agrees with the substance expected; alone it proves neither identity nor purity.`,
  'melting-below': (f) =>
    `The range ends ${text(f, 'by')} below ${against(f)}. Impurity, damp or an uncorrected thermometer lower it; so does another substance.`,
  'melting-above': (f) =>
    `The range begins ${text(f, 'by')} above ${against(f)}. Heating too fast or an uncorrected thermometer raise it; so does another substance.`,
  'melting-no-literature': () => 'There is no published melting range to hold it against.',
  'boiling-range-reversed': (f) =>
    `The boiling range runs from ${text(f, 'from')} to ${text(f, 'to')}: the wrong way round.`,
  'boiling-no-literature': () => 'There is no published boiling point to hold it against.',
  'boiling-uncorrected': (f) =>
    `The pressure ${text(f, 'missing')} is not given, so the boiling point is compared as read. Near one atmosphere 1 kPa shifts it by about 0.3 °C.`,
  'boiling-corrected': (f) =>
    `At the pressure of the published value it would boil at ${text(f, 'corrected')}.`,
  'boiling-pressure-too-far': (f) =>
    `The two pressures are more than ${text(f, 'reach')} mmHg apart: the simple correction does not reach so far. Work it out from the enthalpy of vaporisation.`,
  'boiling-agrees': (f) =>
    `The range meets ${against(f)} within what a distillation shows. That agrees with the liquid expected; alone it proves neither identity nor purity.`,
  'boiling-below': (f) =>
    `The range ends ${text(f, 'by')} below ${against(f)}. Something more volatile may be left in it, or the thermometer stood too high.`,
  'boiling-above': (f) =>
    `The range begins ${text(f, 'by')} above ${against(f)}. Something less volatile may have come over, or the vapour was superheated.`,
  'refraction-no-temperature': () =>
    'The temperature of the prism is missing, so the refractive index cannot be compared.',
  'refraction-no-literature': () => 'There is no published refractive index to hold it against.',
  'refraction-temperature-too-far': (f) =>
    `The prism was more than ${text(f, 'reach')} °C from the temperature of the published value: the usual correction does not reach so far.`,
  'refraction-absurd': (f) =>
    `A refractive index of ${text(f, 'value')} is not one of a liquid: usual values lie between 1.3 and 1.7.`,
  'refraction-agrees': (f) =>
    text(f, 'coarse') === ''
      ? `${refraction(f)}. That agrees with the liquid expected; alone it proves neither identity nor purity.`
      : `${refraction(f)}. ${coarsely(f)}, so that agrees with the liquid expected and with many others.`,
  'refraction-differs': (f) =>
    `${refraction(f)}: more than a refractometer allows${text(f, 'coarse') === '' ? '' : ', even so coarsely given'}.`,
};

const step = (f: Facts): string => (Number(f['step'] ?? 0) > 0 ? `Step ${text(f, 'step')}` : 'A note');

const procedure: Readonly<Record<string, (facts: Facts) => string>> = {
  'time-unreadable': (f) => `${step(f)}: a time cannot be read.`,
  'time-in-future': (f) => `${step(f)}: a time lies in the future. Correct it, with the reason.`,
  'done-before-started': (f) =>
    `${step(f)}: it ends before it begins. Correct one of the times, with the reason.`,
  'correction-without-reason': (f) => `${step(f)}: a time was corrected without saying why.`,
  'limit-reversed': (f) =>
    `${step(f)}: a limit from ${text(f, 'from')} to ${text(f, 'to')} is the wrong way round, and nothing is held against it. The lower end comes first.`,
  'date-far-ahead': (f) =>
    `The practical is dated ${dateText(text(f, 'date'))}, more than a year from now. Is that meant?`,
  'date-far-back': (f) =>
    `The practical is dated ${dateText(text(f, 'date'))}, more than two years ago. Is that meant?`,
  'date-far-from-times': (f) =>
    `The practical is dated ${dateText(text(f, 'date'))}, but the first time noted at a step lies ${text(f, 'days')} days from that.`,
  'deviation-unexplained': (f) => `${step(f)}: ${text(f, 'what')}, and the record does not say why.`,
  'reagent-short': (f) =>
    `${named(f)}: ${text(f, 'equivalents')} equivalents were ${sided(f)}, too little for complete conversion.`,
  'limiting-uncertain': (f) =>
    `Which reagent limits is not certain: ${text(f, 'name')}, with a probability of ${text(f, 'probability')} against ${text(f, 'other')}. The theoretical yield is ${text(f, 'yield')} ${text(f, 'yield') === text(f, 'otherYield') ? 'either way' : `or ${text(f, 'otherYield')}`}.`,
  'section-blank': (f) => `Nothing is written under ${text(f, 'section')}.`,
  'worksheet-unfinished': (f) => `The calculation “${text(f, 'calculation')}” is not filled in.`,
  'worksheet-fault': (f) =>
    `${text(f, 'calculation') || 'A calculation'}: ${text(f, 'says') || 'something in it is wrong.'}`,
  'worksheet-unknown': (f) =>
    `This program does not know the calculation “${text(f, 'calculation')}”: the entry may come from a newer one.`,
  'scale-factor-unfit': () => 'The factor has to be a number above zero and at most 10 000.',
  'scale-nothing-planned': () => 'Nothing is planned yet, so there is nothing to scale.',
  'scale-no-yield': () =>
    'The theoretical yield of the plan is not known, so the scale cannot be worked out.',
  'scale-yield-missing': () =>
    'Say what yield to expect: without it the plan would be scaled as if nothing were lost.',
  'scale-instrument-open': (f) =>
    `${named(f)}: the instrument chosen does not measure the new quantity. Choose another.`,
  'scale-row-unmeasured': (f) => `${named(f)}: nothing is planned of it in this kind of quantity.`,
  'scale-too-small': (f) =>
    `${named(f)}: ${text(f, 'quantity')} is less than can be measured out well (${text(f, 'least')}). Use a solution, or a larger scale.`,
};

export const reactionSentences: Readonly<Record<string, (facts: Facts) => string>> = {
  ...table,
  ...result,
  ...procedure,
};
