/** Mail over SMTP. */
import { createTransport } from 'nodemailer';

export interface MailMessage {
  readonly deliveryId: string;
  readonly to: { readonly name: string; readonly address: string };
  readonly subject: string;
  readonly text: string;
}
export interface Mailer {
  send(message: MailMessage): Promise<void>;
  close(): void;
}

const PATIENCE_MS = 15_000;

export function openMailer(smtpUrl: string, from = 'Sojourn <sojourn@localhost>'): Mailer {
  const transport = createTransport({
    url: smtpUrl,
    connectionTimeout: PATIENCE_MS,
    greetingTimeout: PATIENCE_MS,
    socketTimeout: PATIENCE_MS,
    disableFileAccess: true,
    disableUrlAccess: true,
  });
  return {
    send: async ({ deliveryId, to, subject, text }) => {
      await transport.sendMail({
        from,
        to: { name: headerText(to.name), address: headerText(to.address) },
        subject: headerText(subject),
        text,
        // The same again when it is sent again: programs that read mail show it once.
        messageId: `<${deliveryId}@sojourn.invalid>`,
        headers: { 'Auto-Submitted': 'auto-generated' },
      });
    },
    close: () => transport.close(),
  };
}

/** One line without control characters, so that a title can never become a header of its own. */
export function headerText(text: string): string {
  return text
    .replaceAll(/[\p{Cc}\u2028\u2029]+/gu, ' ')
    .trim()
    .slice(0, 300);
}
