/** What the tests use of node; its own types would be one more package. */
declare module "node:test" {
  export function test(name: string, body: () => void | Promise<void>): void;
}
declare module "node:assert/strict" {
  const assert: {
    ok(value: unknown, message?: string): void;
    equal(actual: unknown, expected: unknown, message?: string): void;
    deepEqual(actual: unknown, expected: unknown, message?: string): void;
    rejects(promise: Promise<unknown>, expected: RegExp): Promise<void>;
  };
  export default assert;
}
declare module "node:zlib" {
  export function deflateRawSync(bytes: Uint8Array): { toString(encoding: "base64"): string };
}
