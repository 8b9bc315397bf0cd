/** Why a run of `send` can't go on, with the exit code that says so to programs. */
export class SendStopped extends Error {
  /** @param exitCode 2: bad input; 4: the server can't be reached, or refused */
  constructor(
    readonly exitCode: 2 | 4,
    readonly code: string,
    message: string,
    readonly remedy: string,
  ) {
    super(message);
  }
}
