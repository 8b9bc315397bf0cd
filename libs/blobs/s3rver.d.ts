/** What the tests use of the S3 protocol server that they run against. */
declare module 's3rver' {
  export default class S3rver {
    constructor(options: { port: number; address: string; directory: string; silent: boolean });
    run(): Promise<unknown>;
    close(): Promise<void>;
  }
}
