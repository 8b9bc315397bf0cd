/** Somebody saved a newer version while this was edited: theirs and mine, and which should stand. */
import { Button } from './Button.js';
import { Notice } from './Notice.js';

export function Overtaken(props: {
  /** Such as `these hours`. */
  what: string;
  theirs: React.ReactNode;
  mine: React.ReactNode;
  busy: boolean;
  onTheirs: () => void;
  onMine: () => void;
}) {
  return (
    <Notice tone="caution" alert title={`Somebody changed ${props.what} meanwhile. Yours is not kept yet.`}>
      <dl className="overtaken">
        <div>
          <dt>As it is now</dt>
          <dd>{props.theirs}</dd>
        </div>
        <div>
          <dt>As you have it</dt>
          <dd>{props.mine}</dd>
        </div>
      </dl>
      <div className="row">
        <Button busy={props.busy} onPress={props.onMine}>
          Save mine over it
        </Button>
        <Button look="quiet" onPress={props.onTheirs}>
          Leave theirs
        </Button>
      </div>
    </Notice>
  );
}
