import { SvelteMap } from 'svelte/reactivity';
import type { OwnForm } from './own-form.svelte.ts';

/**
 * Forms begun and not saved, by person and compound: looking something up in between loses nothing, and
 * the next person at the same computer does not find them.
 */
export const openForms = new SvelteMap<string, OwnForm>();

export const formKey = (personId: string, compoundId: string): string => `${personId} ${compoundId}`;
