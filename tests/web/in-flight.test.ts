import { expect, it } from 'vitest';
import { inFlight } from '../../lib/web/wire/in-flight.ts';

it('work that waits for pictures also waits for those whose questions have not been received yet', async () => {
  const flight = inFlight();
  const order: string[] = [];
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = () => {
    port1.close();
    const work = new Promise((resolve) => setTimeout(resolve, 20)).then(() => order.push('picture'));
    void flight.add(work);
  };
  port2.postMessage('a picture, please');
  await flight.calm(10_000);
  order.push('histogram');
  expect(order).toEqual(['picture', 'histogram']);
});
