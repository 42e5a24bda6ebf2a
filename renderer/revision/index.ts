import './revision.css';

export { keepRevisionTrue } from './actions';
export { PickDesk } from './pick-desk';
export { CompareBar } from './compare-bar';
export { RevisionPane } from './revision-pane';
export { IssuesSection, RevisionReview } from './issues-section';
