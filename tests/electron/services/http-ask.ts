import { request as send, type IncomingHttpHeaders, type OutgoingHttpHeaders } from 'node:http';

export interface HttpAnswer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: Buffer;
}

/** A request as any program on the computer could send it: `fetch` would not let these headers be forged. */
export function sendHttp(
  origin: string,
  path: string,
  options: { method?: string; headers?: OutgoingHttpHeaders; body?: string | Buffer } = {},
): Promise<HttpAnswer> {
  const { hostname, port } = new URL(origin);
  return new Promise((resolve, reject) => {
    const asked = send(
      { hostname, port, path, method: options.method ?? 'GET', headers: options.headers ?? {} },
      (response) => {
        const chunks: Buffer[] = [];
        response.on('data', (chunk: Buffer) => chunks.push(chunk));
        response.on('end', () =>
          resolve({
            status: response.statusCode ?? 0,
            headers: response.headers,
            body: Buffer.concat(chunks),
          }),
        );
        response.on('error', reject);
      },
    );
    asked.on('error', reject);
    asked.end(options.body);
  });
}

/** Goes in by a ticket, as the first address of a browser does. @returns the cookie */
export async function enter(address: string): Promise<string> {
  const url = new URL(address);
  const answer = await sendHttp(url.origin, `${url.pathname}${url.search}`, { headers: { host: url.host } });
  const cookie = answer.headers['set-cookie']?.[0]?.split(';')[0];
  if (answer.status !== 303 || cookie === undefined) throw new Error(`not let in: ${answer.status}`);
  return cookie;
}

/** What our own page sends with a request. */
export const pageHeaders = (origin: string, cookie: string): OutgoingHttpHeaders => ({
  host: new URL(origin).host,
  origin,
  cookie,
  'sec-fetch-site': 'same-origin',
  'content-type': 'application/json',
});
