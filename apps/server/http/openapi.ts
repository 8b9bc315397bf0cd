/** The OpenAPI document, made from the routes themselves. */
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { DocumentBuilder, SwaggerModule, type OpenAPIObject } from '@nestjs/swagger';
import { COOKIE } from '../access/sessions.js';

export function openApiDocument(app: NestFastifyApplication): OpenAPIObject {
  const about = new DocumentBuilder()
    .setTitle('Sojourn')
    .setDescription(
      'Borrowed loudspeakers: planned, measured, heard, published and sent home on time. ' +
        'Every write carries the version it saw; a refusal has a code, a message and a remedy. ' +
        'Times are ISO 8601; days are YYYY-MM-DD; money is in minor units.',
    )
    .setVersion('1')
    .addCookieAuth(COOKIE)
    .build();
  return SwaggerModule.createDocument(app, about, { deepScanRoutes: true });
}
