import { useEffect } from 'react';
import { store } from '../state/store';
import type { Notice } from '../state/store';
import { words } from '../text/index';
import { useApp } from './use-app';

const NOTE_STAYS_MS = 7000;

function NoticeCard({ notice }: { notice: Notice }) {
  useEffect(() => {
    // A problem stays until the person has read it; a note that asks for nothing leaves by itself.
    if (notice.kind === 'problem' || notice.todo !== '') return undefined;
    const timer = setTimeout(() => { store.getState().dismiss(notice.id); }, NOTE_STAYS_MS);
    return () => { clearTimeout(timer); };
  }, [notice]);
  return (
    <div className={`notice is-${notice.kind}`} role={notice.kind === 'problem' ? 'alert' : 'status'}>
      <div><p className="notice-what">{notice.what}</p>{notice.todo !== '' && <p className="notice-todo">{notice.todo}</p>}</div>
      <button type="button" className="chip" aria-label={`${words.problem.dismiss}: ${notice.what}`} onClick={() => { store.getState().dismiss(notice.id); }}>{words.problem.dismiss}</button>
    </div>
  );
}

export function Notices() {
  const notices = useApp((s) => s.notices);
  return <div className="notices">{notices.slice(-4).map((notice) => <NoticeCard key={notice.id} notice={notice} />)}</div>;
}
