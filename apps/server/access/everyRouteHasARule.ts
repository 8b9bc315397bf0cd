/** At start: a controller method that answers HTTP without an access rule keeps the server from starting. */
import 'reflect-metadata';
import { ModulesContainer } from '@nestjs/core';
import type { INestApplication } from '@nestjs/common';
import { ACCESS } from '../http/route.js';

/** Nest's own mark on a method that answers HTTP. */
const PATH = 'path';

export function routesWithoutRule(app: INestApplication): string[] {
  const controllers = [...app.get(ModulesContainer).values()].flatMap((module) => [
    ...module.controllers.values(),
  ]);
  return controllers.flatMap(({ metatype }) => {
    if (typeof metatype !== 'function') return [];
    const prototype = metatype.prototype as Record<string, unknown>;
    return Object.getOwnPropertyNames(prototype)
      .filter((name) => name !== 'constructor' && typeof prototype[name] === 'function')
      .filter((name) => Reflect.hasMetadata(PATH, prototype[name] as object))
      .filter((name) => !Reflect.hasMetadata(ACCESS, prototype[name] as object))
      .map((name) => `${metatype.name}.${name}`);
  });
}

export function insistOnRules(app: INestApplication): void {
  const without = routesWithoutRule(app);
  if (without.length > 0) throw new Error(`These routes have no access rule: ${without.join(', ')}.`);
}
