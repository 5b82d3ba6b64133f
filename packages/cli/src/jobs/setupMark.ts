/** Mark between the words of one `--setup`, which are joined before they are taken apart; no file name holds it. */
export const setupMark = '\0';
