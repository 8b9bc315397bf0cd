/** What a route takes, checked once at the edge and described in the OpenAPI document from the same schema. */
import { Body, Param, Query, type PipeTransform } from '@nestjs/common';
import { ApiBody, ApiQuery, type ApiBodyOptions } from '@nestjs/swagger';
import { z } from 'zod';

class Checked implements PipeTransform {
  constructor(private readonly schema: z.ZodType) {}
  transform(value: unknown): unknown {
    return this.schema.parse(value ?? {});
  }
}

/** The JSON body. */
export function Sent(schema: z.ZodType): ParameterDecorator {
  return (target, key, index) => {
    Body(new Checked(schema))(target, key, index);
    const method = key === undefined ? undefined : Object.getOwnPropertyDescriptor(target, key);
    if (method && key !== undefined) ApiBody({ schema: describe(schema) })(target, key, method);
  };
}

export function describe(
  schema: z.ZodType,
): NonNullable<Extract<ApiBodyOptions, { schema: object }>['schema']> {
  return z.toJSONSchema(schema, { target: 'openapi-3.0', io: 'input', unrepresentable: 'any' }) as never;
}

/** An id in the path. Anything else than a UUID is simply not found. */
export const Id = (name = 'id') => Param(name, new Checked(z.uuid('That address is not complete.')));

export const Asked = (name: string, schema: z.ZodType) => Query(name, new Optional(schema));

/** Everything after the `?` of an address, by one schema; what it does not know is refused. */
export function AskedAll(schema: z.ZodType): ParameterDecorator {
  return (target, key, index) => {
    Query(new Checked(schema))(target, key, index);
    const method = key === undefined ? undefined : Object.getOwnPropertyDescriptor(target, key);
    if (!method || key === undefined) return;
    const { properties = {}, required = [] } = describe(schema) as {
      properties?: Record<string, { description?: string }>;
      required?: string[];
    };
    for (const [name, property] of Object.entries(properties)) {
      const description = property.description ?? '';
      ApiQuery({ name, required: required.includes(name), description, schema: property })(
        target,
        key,
        method,
      );
    }
  };
}

class Optional implements PipeTransform {
  constructor(private readonly schema: z.ZodType) {}
  transform(value: unknown): unknown {
    return value === undefined ? undefined : this.schema.parse(value);
  }
}
