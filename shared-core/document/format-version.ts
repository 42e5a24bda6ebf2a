/** The newest project format this program writes. */
export const FORMAT_VERSION = 1;
