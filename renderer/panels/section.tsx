import { Collapsible } from '@base-ui/react/collapsible';
import type { ReactNode } from 'react';

/** A part of the chosen mark's pane that opens and shuts; shut parts cost one line. */
export function Section({ title, open = false, children }: { title: string; open?: boolean; children: ReactNode }) {
  return (
    <Collapsible.Root className="section" defaultOpen={open}>
      <Collapsible.Trigger className="section-head"><svg width="8" height="8" viewBox="0 0 8 8" aria-hidden="true"><path d="M2 .8 5.6 4 2 7.2" /></svg>{title}</Collapsible.Trigger>
      <Collapsible.Panel className="section-body">{children}</Collapsible.Panel>
    </Collapsible.Root>
  );
}
