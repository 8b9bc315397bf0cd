/** A sheet over the page for one task; Escape or a press outside leaves it. */
import { Dialog as AriaDialog } from 'react-aria-components/Dialog';
import { Heading } from 'react-aria-components/Heading';
import { Modal, ModalOverlay } from 'react-aria-components/Modal';
import { IconButton } from './Button.js';

export function Dialog(props: {
  title: string;
  open: boolean;
  onClose: () => void;
  children: React.ReactNode;
  wide?: boolean;
  /** Typed words would be lost by a stray press outside. */
  keepOnOutsidePress?: boolean;
}) {
  return (
    <ModalOverlay
      className="veil"
      isOpen={props.open}
      isDismissable={!props.keepOnOutsidePress}
      onOpenChange={(open) => {
        if (!open) props.onClose();
      }}
    >
      <Modal className={`sheet${props.wide ? ' sheet-wide' : ''}`}>
        <AriaDialog className="sheet-dialog">
          <header className="sheet-head">
            <Heading slot="title" level={2}>
              {props.title}
            </Heading>
            <IconButton icon="cross" label="Close" onPress={props.onClose} />
          </header>
          <div className="stack">{props.children}</div>
        </AriaDialog>
      </Modal>
    </ModalOverlay>
  );
}
