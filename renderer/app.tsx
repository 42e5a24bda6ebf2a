import { useEffect, useState } from 'react';
import { host } from './host-client';

/** Shows that the window reaches its services. */
export function App() {
  const [line, setLine] = useState('Starting');
  useEffect(() => {
    void host.call('start', {}).then((outcome) => {
      setLine(outcome.ok ? `Lockstead ${outcome.value.version}: ${outcome.value.opened?.name ?? 'no project'}` : `${outcome.problem.what} ${outcome.problem.todo}`);
    });
  }, []);
  return <main><h1>{line}</h1></main>;
}
