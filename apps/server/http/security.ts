/** What every answer says to a browser about what it may do with it. */
import helmet from '@fastify/helmet';
import type { NestFastifyApplication } from '@nestjs/platform-fastify';

export async function secureAnswers(app: NestFastifyApplication): Promise<void> {
  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        objectSrc: ["'none'"],
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
    // Said below, over TLS alone.
    strictTransportSecurity: false,
  });
  app
    .getHttpAdapter()
    .getInstance()
    .addHook('onSend', (request, reply, _payload, done) => {
      if (request.protocol === 'https') void reply.header('strict-transport-security', HSTS);
      // What the house says is for whoever asked; only what says otherwise of itself is kept by caches.
      const mayBeKept = reply.hasHeader('cache-control') || !request.url.startsWith('/api/');
      if (!mayBeKept) void reply.header('cache-control', 'private, no-store');
      done();
    });
}

/** RFC 6797, a year; a proxy that ends TLS says so by the forwarding header of a trusted address. */
const HSTS = 'max-age=31536000; includeSubDomains';
