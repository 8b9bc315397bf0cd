/** How far something is, 0..1. */
export function Progress(props: { value: number; label: string }) {
  const percent = Math.round(Math.min(1, Math.max(0, props.value)) * 100);
  return (
    <div
      className="progress"
      role="progressbar"
      aria-label={props.label}
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={percent}
    >
      <div className="progress-done" style={{ inlineSize: `${percent}%` }} />
    </div>
  );
}
