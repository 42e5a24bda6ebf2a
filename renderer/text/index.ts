export { listWords } from './list-words';
export { sheetWords } from './sheet-words';
export { planWords } from './plan-words';
export { words } from './words';
export { checkName, conditionName, environmentChoices, exceptionName, fieldWords, loadKindNames, optionName } from './trade-words';
