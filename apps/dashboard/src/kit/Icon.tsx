/** Our few signs, drawn on a 20-unit square with the text's own colour. */
const paths = {
  check: 'M4 10.5l4 4 8-9',
  cross: 'M5 5l10 10M15 5L5 15',
  plus: 'M10 4v12M4 10h12',
  minus: 'M4 10h12',
  warning: 'M10 3.2L18 17H2zM10 8v4.2M10 14.4v.4',
  blocked: 'M10 2.5a7.5 7.5 0 100 15 7.5 7.5 0 000-15zM4.8 4.8l10.4 10.4',
  clock: 'M10 2.5a7.5 7.5 0 100 15 7.5 7.5 0 000-15zM10 5.5V10l3 2',
  lock: 'M5 9h10v8H5zM7 9V6.5a3 3 0 016 0V9',
  arrow: 'M4 10h12M11 5l5 5-5 5',
  back: 'M16 10H4M9 5l-5 5 5 5',
  down: 'M5 8l5 5 5-5',
  upload: 'M10 13V3.5M6 7l4-4 4 4M3.5 13v3.5h13V13',
  download: 'M10 3.5V13M6 9.5l4 4 4-4M3.5 13v3.5h13V13',
  file: 'M5 2.5h6.5L15 6v11.5H5zM11 2.5V6.5h4',
  camera: 'M3 6.5h3l1.2-2h5.6l1.2 2h3V16H3zM10 8.2a3 3 0 100 6 3 3 0 000-6z',
  pencil: 'M4 16l.8-3.4L13.2 4.2l2.6 2.6-8.4 8.4z',
  ear: 'M6.2 8.2a4 4 0 118 0c0 3-3 3-3 5.6a2.4 2.4 0 01-4.4 1.4M8.4 8.4a1.8 1.8 0 113.6 0',
  people:
    'M7.5 9.5a2.8 2.8 0 100-5.6 2.8 2.8 0 000 5.6zM2.5 16.5c0-3 2-4.8 5-4.8s5 1.8 5 4.8M13 4.4a2.6 2.6 0 010 4.9M14.6 12c1.9.6 2.9 2.2 2.9 4.5',
  sun: 'M10 6.4a3.6 3.6 0 100 7.2 3.6 3.6 0 000-7.2zM10 1.5v2M10 16.5v2M1.5 10h2M16.5 10h2M4 4l1.4 1.4M14.6 14.6L16 16M16 4l-1.4 1.4M5.4 14.6L4 16',
  moon: 'M15.8 12.4A6.6 6.6 0 017.6 4.2a6.6 6.6 0 108.2 8.2z',
  table: 'M3 4.5h14v11H3zM3 8.5h14M8 4.5v11',
  curve: 'M2.5 13c3 0 3-7 6-7s3 5 5 5 2-3 4-3',
  crate: 'M3 7l7-3.5L17 7v7l-7 3.5L3 14zM3 7l7 3.5L17 7M10 10.5v7',
  today: 'M3.5 5h13v11.5h-13zM3.5 8.5h13M7 3v3M13 3v3',
  pin: 'M7 3h6M8 3v5.5L5.5 12h9L12 8.5V3M10 12v5.5',
  bin: 'M4 6h12M8 6V4h4v2M5.5 6l1 11h7l1-11M8.5 9v5M11.5 9v5',
  more: 'M4.5 10h.01M10 10h.01M15.5 10h.01',
} as const;
export type IconName = keyof typeof paths;

export function Icon(props: { name: IconName; size?: number }) {
  const size = props.size ?? 18;
  return (
    <svg
      className="icon"
      aria-hidden="true"
      width={size}
      height={size}
      viewBox="0 0 20 20"
      fill="none"
      stroke="currentColor"
      strokeWidth={props.name === 'more' ? 3 : 1.6}
      strokeLinecap="round"
      strokeLinejoin="round"
    >
      <path d={paths[props.name]} />
    </svg>
  );
}
