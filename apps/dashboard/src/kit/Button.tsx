/** A thing to press. One main act a place; the rest are plain or quiet. */
import { Button as AriaButton, type ButtonProps as AriaButtonProps } from 'react-aria-components/Button';
import { Icon, type IconName } from './Icon.js';

export type ButtonLook = 'main' | 'plain' | 'quiet' | 'grave';
export interface ButtonProps extends Omit<AriaButtonProps, 'children' | 'className' | 'isPending'> {
  readonly children: React.ReactNode;
  readonly look?: ButtonLook;
  readonly icon?: IconName;
  readonly busy?: boolean;
}

export function Button({
  look = 'plain',
  icon,
  busy = false,
  children,
  onPress,
  type,
  ...rest
}: ButtonProps) {
  return (
    <AriaButton
      {...rest}
      // While it is at work it stays focused, and a second press does nothing.
      {...(busy ? { type: 'button' as const } : { type, onPress })}
      data-busy={busy || undefined}
      className={`button button-${look}`}
    >
      {icon && <Icon name={icon} />}
      <span>{children}</span>
      {busy && <span className="button-busy" aria-hidden="true" />}
    </AriaButton>
  );
}

/** A button that is only a sign; its name is read aloud and shown on hover. */
export function IconButton(props: {
  icon: IconName;
  label: string;
  onPress: () => void;
  isDisabled?: boolean;
}) {
  return (
    <AriaButton
      className="button button-quiet button-sign"
      aria-label={props.label}
      isDisabled={props.isDisabled ?? false}
      onPress={props.onPress}
    >
      <span title={props.label}>
        <Icon name={props.icon} />
      </span>
    </AriaButton>
  );
}
