import type { MenuItemConstructorOptions } from 'electron';

/** Only what the system expects: cut, copy and paste need a menu on a Mac; size helps everybody. */
export function menuTemplate(platform: NodeJS.Platform): MenuItemConstructorOptions[] {
  return [
    ...(platform === 'darwin' ? [{ role: 'appMenu' as const }] : []),
    { role: 'editMenu' },
    {
      label: 'View',
      submenu: [
        { role: 'resetZoom' },
        { role: 'zoomIn' },
        { role: 'zoomOut' },
        { type: 'separator' },
        { role: 'togglefullscreen' },
      ],
    },
    { role: 'windowMenu' },
  ];
}
