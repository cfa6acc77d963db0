import { registerHooks } from 'node:module';

// `node --import hooks.ts main.js`: whatever imports `electron` gets the stand-in.
registerHooks({
  resolve(specifier, context, next) {
    if (specifier !== 'electron') return next(specifier, context);
    return { url: new URL('./electron-stand-in.ts', import.meta.url).href, shortCircuit: true };
  },
});
