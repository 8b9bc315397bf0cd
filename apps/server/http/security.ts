/** What every answer says to a browser about what it may do with it. */
import helmet from '@fastify/helmet';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';

export async function secureAnswers(app: NestFastifyApplication): Promise<void> {
  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        fontSrc: ["'self'"],
        // Maps are drawn as embedded pictures.
        imgSrc: ["'self'", 'data:', 'blob:'],
        connectSrc: ["'self'"],
        // The page's own worker, which keeps the page for rooms without a network.
        workerSrc: ["'self'"],
        manifestSrc: ["'self'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
      },
    },
    crossOriginOpenerPolicy: { policy: 'same-origin' },
    crossOriginResourcePolicy: { policy: 'same-origin' },
    referrerPolicy: { policy: 'no-referrer' },
    // Only meaningful behind TLS, and then the proxy's to say.
    strictTransportSecurity: false,
  });
}
