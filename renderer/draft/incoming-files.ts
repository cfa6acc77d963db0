/** What a clipboard calls every picture. */
const namelessPicture = /^image\.(png|jpe?g)$/i;

/** `pasted 14.05.12.png`: the next picture is told from this one. */
function named(file: File, now: Date): File {
  const ending = namelessPicture.exec(file.name)?.[1];
  if (ending === undefined) return file;
  const clock = [now.getHours(), now.getMinutes(), now.getSeconds()]
    .map((part) => String(part).padStart(2, '0'))
    .join('.');
  return new File([file], `pasted ${clock}.${ending.toLowerCase()}`, { type: file.type });
}

/** The files of a drop; folders and dragged text are none. */
export const droppedFiles = (event: DragEvent): readonly File[] => [...(event.dataTransfer?.files ?? [])];

export const bringsFiles = (event: DragEvent): boolean =>
  event.dataTransfer?.types.includes('Files') === true;

/**
 * The files of a paste. Text that was copied together with a picture of itself, as office programs do,
 * is meant as text where text can be typed.
 */
export function pastedFiles(event: ClipboardEvent, now = new Date()): readonly File[] {
  const target = event.target instanceof Element ? event.target : null;
  const takesText = target?.closest('input, textarea, [contenteditable]') != null;
  if (takesText && event.clipboardData?.types.includes('text/plain') === true) return [];
  return [...(event.clipboardData?.files ?? [])].map((file) => named(file, now));
}
