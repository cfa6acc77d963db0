/** The one channel between the pages and the main process. */
export const askChannel = 'fairleaf:ask';
/** The name of the one object that the pages are given. */
export const bridgeName = 'fairleaf';
