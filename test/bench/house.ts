/** An installation as `npm start` makes it, with its owner signed in, for as long as it is measured. */
import { makeInstallation, type Installation } from '../seams/installation.js';
import { setUpOwner, type Visitor } from '../seams/visitor.js';

export interface House {
  readonly installation: Installation;
  readonly url: string;
  readonly pid: number;
  readonly host: Visitor;
}

export async function inHouse<T>(work: (house: House) => Promise<T>): Promise<T> {
  const installation = await makeInstallation('embedded');
  try {
    const { url, pid } = await installation.start();
    return await work({ installation, url, pid, host: await setUpOwner(url) });
  } finally {
    await installation.remove();
  }
}
