// The test runner brings describe and it; only their usual forms are used.
declare function describe(name: string, body: () => void): void;
declare function it(name: string, body: () => void | Promise<void>): void;
declare function before(body: () => void | Promise<void>): void;
declare function beforeEach(body: () => void | Promise<void>): void;
declare function afterEach(body: () => void | Promise<void>): void;
declare function after(body: () => void | Promise<void>): void;
