import { mount } from 'svelte';
import '../../../renderer/style/base.css';
import type { Place } from '../../../renderer/app/places.ts';
import BenchScreen from '../../../renderer/features/bench/BenchScreen.svelte';
import EntryScreen from '../../../renderer/features/spread/EntryScreen.svelte';
import { memoryClient } from './memory-client.ts';
import { instructor, sampleView, sessionOf, student } from './sample.ts';

// ?as=instructor, ?state=countersigned, ?at=bench, ?light=evening
const asked = new URLSearchParams(location.search);
const isInstructor = asked.get('as') === 'instructor';
const isLocked = asked.get('state') === 'countersigned';
document.documentElement.dataset['light'] = asked.get('light') ?? 'day';

const signature = {
  printedName: student.printedName,
  initials: student.initials,
  role: student.role,
  meaning: 'performed' as const,
  signedAt: '2026-03-14T16:20:00.000Z',
  offsetMinutes: 0,
  remark: '',
  withdrawn: null,
  n: 1,
  hash: '4f1c9a0b77d2e6a813f0c2b95e8a6d40',
};
const view = {
  ...sampleView,
  ...(isInstructor
    ? {
        state: 'signed' as const,
        permissions: {
          ...sampleView.permissions,
          canEdit: false,
          canSign: false,
          canStrikeOut: false,
          canComment: true,
          canReturn: true,
          canCountersign: true,
        },
      }
    : {}),
  ...(isLocked
    ? {
        state: 'countersigned' as const,
        mark: '8/10',
        permissions: { ...sampleView.permissions, canEdit: false, canSign: false, canAmend: true },
        versions: [
          {
            n: 1,
            hash: signature.hash,
            author: student.printedName,
            reason: '',
            signatures: [
              signature,
              {
                ...signature,
                meaning: 'countersigned' as const,
                printedName: instructor.printedName,
                initials: instructor.initials,
                role: instructor.role,
                signedAt: '2026-03-16T09:05:00.000Z',
                remark: 'Good record; mind the bath.',
                hash: '9b0c2d417a8e55f06c3191fd2be0aa72',
              },
            ],
          },
        ],
      }
    : {}),
};

const target = document.getElementById('desk');
if (target === null) throw new Error('no place to mount');
target.style.cssText = 'height:100vh;overflow:auto';
const props = {
  client: memoryClient(view),
  session: sessionOf(isInstructor ? instructor : student),
  entryId: 'e1',
  section: null,
  onNavigate: (place: Place) => console.info('navigate', JSON.stringify(place)),
  onOpenSigning: () => Promise.resolve(null),
  onSaver: () => undefined,
  onBind: () => undefined,
  onNotice: (text: string) => console.info('notice', text),
};
if (asked.get('at') === 'bench') mount(BenchScreen, { target, props });
else mount(EntryScreen, { target, props });
