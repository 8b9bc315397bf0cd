/** How far something is, 0..1. */
export function Progress(props: { value: number; label: string }) {
  const share = Math.min(1, Math.max(0, props.value));
  return <progress className="progress" value={share} max={1} aria-label={props.label} />;
}
