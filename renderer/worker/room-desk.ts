import type { HangingStretch } from '../../shared-core/advise/index';
import type { Disconnect, Document } from '../../shared-core/document/index';
import type { AllowedRegion } from '../../shared-core/sight/index';
import { regionFrom } from './room-work';
import type { RoomAnswer } from './room-work';

export type RoomFound = { readonly standing: AllowedRegion | null; readonly took: number } | { readonly roomy: readonly HangingStretch[] | null };
export interface RoomQuestion { readonly document: Document; readonly device: Disconnect; readonly found: (found: RoomFound) => void }

/** Asks where a device has room in front; the answers hold for exactly the document asked about. @returns how to call it off */
export type AskRoom = (question: RoomQuestion) => () => void;

/** Takes the questions of the canvas to the thread, the latest only; an answer to another one is dropped. */
export class RoomDesk {
  private carry: ((room: number, question: RoomQuestion | null) => void) | null = null;
  private question: RoomQuestion | null = null;
  private room = 0;

  readonly ask: AskRoom = (question) => {
    this.room += 1;
    this.question = question;
    this.carry?.(this.room, question);
    return () => {
      if (this.question !== question) return;
      this.question = null;
      this.carry?.(this.room, null);
    };
  };

  /** @param carry takes a question, or word that the last one is not asked any more, to a thread */
  connect(carry: ((room: number, question: RoomQuestion | null) => void) | null): void { this.carry = carry; }

  answered(answer: RoomAnswer): void {
    if (answer.room !== this.room || !this.question) return;
    this.question.found('roomy' in answer ? { roomy: answer.roomy } : { standing: regionFrom(answer.standing), took: answer.took });
  }
}

/** The one of the window. */
export const roomDesk = new RoomDesk();
