import { report } from './messages.ts';
import { openMasters } from './opening.ts';

/** What `linewash page` says of each master that it serves. */
interface Served {
  readonly name: string;
  readonly line?: string;
  /** Its address from the page's own. */
  readonly at: string;
}

/** Opens the masters that lie with the page on the server that `linewash page` started. */
export const openServed = async (): Promise<void> => {
  try {
    const response = await fetch(new URL('masters.json', document.baseURI));
    if (!response.ok) throw new Error(`masters.json: ${response.status}`);
    const served: readonly Served[] = await response.json();
    const from = ({ at }: Served) => new URL(at, document.baseURI).href;
    await openMasters(
      served.map((master) => ({ name: master.name, said: master.line, from: from(master) })),
      'served',
    );
  } catch (error) {
    report('open', error);
  }
};
