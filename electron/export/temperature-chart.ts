import { scaleLinear } from 'd3-scale';
import { line as pathOf } from 'd3-shape';
import type { ChartBlock, ChartPoint } from '../../core/report/report-document.ts';
import { bodyWidth, fineRule, inks, quiet, strongRule, windowTint } from './palette.ts';
import { num, svgLine } from './svg-text.ts';
import type { Setting, Typesetter } from './typeset.ts';

export const chartHeight = 208;
const frame = { left: 38, right: 8, top: 30, bottom: 34 };
const tickText: Setting = { face: 'sans', size: 7.6 };
const labelText: Setting = { face: 'sans', size: 7.8 };
const bandText: Setting = { face: 'sans', size: 7.2 };

/** The readings over time, with each step's stretch above and its window tinted; plain vectors. */
export function temperatureChart(block: ChartBlock, type: Typesetter): string {
  const limits = block.bands.flatMap((band) => [band.fromY, band.toY]).filter((y) => y !== null);
  const ys = [...block.points.map((point) => point.y), ...limits];
  const xs = [
    ...block.points.map((point) => point.x),
    ...block.bands.flatMap((band) => [band.fromX, band.toX]),
  ];
  const x = scaleLinear(padded(xs, 0.02), [frame.left, bodyWidth - frame.right]);
  const y = scaleLinear(padded(ys, 0.08), [chartHeight - frame.bottom, frame.top]);
  let svg = '';

  for (const band of block.bands) {
    if (band.fromY === null && band.toY === null) continue;
    const top = y(band.toY ?? (y.domain()[1] as number));
    const bottom = y(band.fromY ?? (y.domain()[0] as number));
    svg += `<rect x="${num(x(band.fromX))}" y="${num(top)}" width="${num(Math.max(1, x(band.toX) - x(band.fromX)))}" height="${num(Math.max(0.8, bottom - top))}" fill="${windowTint}"/>`;
  }
  for (const tick of y.ticks(6)) {
    svg += rule(frame.left, y(tick), bodyWidth - frame.right, y(tick), fineRule, 0.4);
    svg += svgLine([{ text: signed(tick) }], tickText, frame.left - 5, y(tick) + 2.6, 'end', type);
  }
  for (const tick of x.ticks(9)) {
    svg += rule(
      x(tick),
      chartHeight - frame.bottom,
      x(tick),
      chartHeight - frame.bottom + 3,
      strongRule,
      0.6,
    );
    svg += svgLine(
      [{ text: signed(tick) }],
      tickText,
      x(tick),
      chartHeight - frame.bottom + 11,
      'middle',
      type,
    );
  }
  svg += rule(
    frame.left,
    chartHeight - frame.bottom,
    bodyWidth - frame.right,
    chartHeight - frame.bottom,
    strongRule,
    0.7,
  );
  svg += steps(block, x, type);

  const path = pathOf<ChartPoint>()
    .x((point) => x(point.x))
    .y((point) => y(point.y))
    .digits(2)(block.points);
  if (path !== null) {
    svg += `<path d="${path}" fill="none" stroke="${inks.student}" stroke-width="1" stroke-linejoin="round"/>`;
  }
  block.points.forEach((point, index) => {
    const next = block.points[index + 1];
    const previous = block.points[index - 1];
    // The value stands on the side the line leaves free.
    const isFalling = next === undefined ? (previous?.y ?? 0) >= point.y : next.y <= point.y;
    svg += sign(point, x(point.x), y(point.y), isFalling, type);
  });
  svg += svgLine(
    [{ text: block.xLabel, tone: 'quiet' }],
    labelText,
    bodyWidth - frame.right,
    chartHeight - 5,
    'end',
    type,
  );
  svg += svgLine([{ text: block.yLabel, tone: 'quiet' }], labelText, 0, 8, 'start', type);
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${num(bodyWidth)}" height="${chartHeight}" viewBox="0 0 ${num(bodyWidth)} ${chartHeight}">${svg}</svg>`;
}

/** The steps along the upper edge, each with its number between two fine ticks. */
function steps(block: ChartBlock, x: (value: number) => number, type: Typesetter): string {
  let out = '';
  let lastEnd = -Infinity;
  for (const band of block.bands) {
    const from = x(band.fromX);
    const to = x(band.toX);
    out += rule(from, frame.top - 6, from, frame.top - 1, quiet, 0.5);
    out += rule(from, frame.top - 3.5, to, frame.top - 3.5, quiet, 0.5);
    out += rule(to, frame.top - 6, to, frame.top - 1, quiet, 0.5);
    const pieces = type.pieces([{ text: band.label, tone: 'quiet' }], bandText);
    const half = type.width(pieces) / 2;
    const middle = Math.min(Math.max((from + to) / 2, frame.left + half), bodyWidth - frame.right - half);
    // A label that would run into the one before is left out; the table of steps has them all.
    if (middle - half > lastEnd + 3) {
      out += svgLine(
        [{ text: band.label, tone: 'quiet' }],
        bandText,
        middle,
        frame.top - 7.5,
        'middle',
        type,
      );
      lastEnd = middle + half;
    }
  }
  return out;
}

/** A dot inside its window, an open diamond with its value outside. */
function sign(point: ChartPoint, x: number, y: number, isFalling: boolean, type: Typesetter): string {
  if (!point.isOutside) return `<circle cx="${num(x)}" cy="${num(y)}" r="2" fill="${inks.student}"/>`;
  const r = 3.6;
  return (
    `<polygon points="${num(x)} ${num(y - r)} ${num(x + r)} ${num(y)} ${num(x)} ${num(y + r)} ${num(x - r)} ${num(y)}" fill="#ffffff" stroke="#8c2f2a" stroke-width="1.1"/>` +
    svgLine(
      [{ text: point.label, weight: 'bold' }],
      { ...bandText, color: '#8c2f2a' },
      x + 5,
      y + (isFalling ? -4 : 10),
      'start',
      type,
    )
  );
}

const rule = (x1: number, y1: number, x2: number, y2: number, color: string, width: number): string =>
  `<line x1="${num(x1)}" y1="${num(y1)}" x2="${num(x2)}" y2="${num(y2)}" stroke="${color}" stroke-width="${width}"/>`;

const signed = (value: number): string => String(value).replace('-', '−');

/** Range with a margin, so that nothing lies on the frame; a single value still has an axis. */
function padded(values: readonly number[], share: number): [number, number] {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const margin = high > low ? (high - low) * share : Math.max(1, Math.abs(high) * 0.05);
  return [low - margin, high + margin];
}
