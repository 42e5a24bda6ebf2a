export { listWords } from './list-words';
export { words } from './words';
export { checkName, conditionName, environmentChoices, fieldWords, loadKindNames, optionName } from './trade-words';
