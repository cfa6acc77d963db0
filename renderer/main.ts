import { mount } from 'svelte';
import './style/base.css';
import App from './app/App.svelte';
import { Desk } from './app/desk.svelte.ts';
import { bridgeClient } from './client/bridge-client.ts';
import { fetchClient } from './client/fetch-client.ts';

const desk = new Desk(
  window.fairleaf === undefined ? fetchClient(document.baseURI) : bridgeClient(window.fairleaf),
);
const target = document.getElementById('desk');
if (target === null) throw new Error('index.html has no element #desk');
mount(App, { target, props: { desk } });
void desk.start();
