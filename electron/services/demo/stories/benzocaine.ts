import type { Story } from '../story.ts';

/** Still going on. */
export const benzocaineStory: Story = {
  template: 'benzocaine',
  taken: { 'aminobenzoic-acid': '2.43', ethanol: '24', 'sulfuric-acid': '2.0' },
  remarks: { 'sulfuric-acid': 'Added over four minutes.' },
  steps: [
    {
      from: 4,
      to: 16,
      seen: 'A thick white precipitate with the first drops; stirred with the rod.',
      readings: [{ kind: 'temperature', text: '24', unit: '°C', at: 12 }],
    },
    {
      from: 18,
      to: null,
      seen: 'Everything in solution after 25 min; pale yellow.',
      readings: [{ kind: 'temperature', text: '79', unit: '°C', at: 40, remark: 'vapour' }],
    },
  ],
  notes: [{ step: 2, at: 45, text: 'Boiling started at 25 min past the beginning.' }],
};
