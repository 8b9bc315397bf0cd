/** Days are kept as UTC midnight and spoken of as `YYYY-MM-DD`. */
export function dayOf(date: Date): string;
export function dayOf(date: Date | null): string | null;
export function dayOf(date: Date | null): string | null {
  return date ? date.toISOString().slice(0, 10) : null;
}

export function toDay(day: string): Date;
export function toDay(day: string | null | undefined): Date | null | undefined;
export function toDay(day: string | null | undefined): Date | null | undefined {
  return typeof day === 'string' ? new Date(`${day}T00:00:00Z`) : day;
}

export function instantOf(date: Date | null): string | null {
  return date ? date.toISOString() : null;
}
