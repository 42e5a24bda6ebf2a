import { Dialog } from '@base-ui/react/dialog';
import type { ReactNode } from 'react';
import { words } from '../text/index';

/** A dialog: only for what cannot be typed in place. Escape and the close button leave without a change. */
export function Modal({ open, title, wide = false, onClose, children }: { open: boolean; title: string; wide?: boolean; onClose: () => void; children: ReactNode }) {
  return (
    <Dialog.Root open={open} onOpenChange={(next) => { if (!next) onClose(); }}>
      <Dialog.Portal>
        <Dialog.Backdrop className="backdrop" />
        <Dialog.Popup className={wide ? 'modal is-wide' : 'modal'} data-modal="">
          <header className="modal-head"><Dialog.Title className="modal-title">{title}</Dialog.Title><Dialog.Close className="chip" aria-label={words.why.close}>{words.why.close}</Dialog.Close></header>
          <div className="modal-body" tabIndex={0}>{children}</div>
        </Dialog.Popup>
      </Dialog.Portal>
    </Dialog.Root>
  );
}
