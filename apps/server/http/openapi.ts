/** The OpenAPI document, made from the routes themselves. */
import type { NestFastifyApplication } from '@nestjs/platform-fastify';
import { DocumentBuilder, SwaggerModule, type OpenAPIObject } from '@nestjs/swagger';
import { COOKIE } from '../access/sessions.js';
import { z } from 'zod';
import { scopesFor } from '../access/tokenScopes.js';
import { examples } from './examples.js';

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
    .addBearerAuth({ type: 'http', scheme: 'bearer', description: 'A personal access token.' }, 'token')
    .build();
  const document = SwaggerModule.createDocument(app, about, { deepScanRoutes: true });
  nameScopes(document);
  giveExamples(document);
  return document;
}

/** Into the routes: what is sent, what is answered, and the schema of the answer. */
function giveExamples(document: OpenAPIObject): void {
  for (const { route, parameters = {}, body, status, schema, answer } of examples) {
    const [method = '', path = ''] = route.split(' ');
    const described = document.paths[path]?.[method.toLowerCase() as 'get'];
    if (!described) throw new Error(`There is an example of ${route}, and no such route.`);
    for (const parameter of described.parameters ?? [])
      if ('name' in parameter && parameter.name in parameters) parameter.example = parameters[parameter.name];
    const sent = described.requestBody;
    if (body !== undefined && sent && 'content' in sent)
      for (const content of Object.values(sent.content)) content.example = body;
    described.responses[status] = {
      description: 'The answer.',
      content: {
        'application/json': {
          schema: z.toJSONSchema(schema, { target: 'openapi-3.0', unrepresentable: 'any' }) as never,
          example: answer,
        },
      },
    };
  }
}

const methods = ['get', 'head', 'post', 'put', 'patch', 'delete'] as const;

/** Beside each route: the scopes of an access token that open it; none where it takes somebody who signed in. */
function nameScopes(document: OpenAPIObject): void {
  for (const [path, routes] of Object.entries(document.paths)) {
    for (const method of methods) {
      const route = routes[method];
      if (!route) continue;
      const scopes = scopesFor(method.toUpperCase(), path.replaceAll(/\{([^}]+)\}/g, ':$1'));
      Object.assign(route, { 'x-scopes': scopes });
      if (scopes.length > 0) route.security = [{ cookie: [] }, { token: [] }];
    }
  }
}
