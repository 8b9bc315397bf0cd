/** When there is no such page, or a page broke. */
import { useEffect } from 'react';
import { Link, useRouteError } from 'react-router';
import { Button, PageHead, useTitle } from '../kit/index.js';

export function NoSuchPage() {
  return (
    <>
      <PageHead title="There is no such page" />
      <p>
        The address may be incomplete, or what it showed was removed. <Link to="/">Back to today</Link>.
      </p>
    </>
  );
}

export function LostPage() {
  const error = useRouteError();
  useTitle('This page could not be shown');
  useEffect(() => console.error(error), [error]);
  return (
    <main className="main stack">
      <h1>This page could not be shown</h1>
      <p>
        The rest of the house stands, and nothing you saved is lost. Loading it anew usually helps, most of
        all after the server was updated.
      </p>
      <div className="row">
        <Button look="main" onPress={() => window.location.reload()}>
          Load anew
        </Button>
        <a href="/">Back to today</a>
      </div>
    </main>
  );
}
