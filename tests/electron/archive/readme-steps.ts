const commands = /^(sha\d+sum|openssl|tr|printf|cd|mkdir|for|key=)/;

/**
 * The commands of each numbered step of a README, word for word: the paragraphs that begin with one of
 * the tools it names.
 */
export const readmeSteps = (readme: string): readonly string[] =>
  readme
    .split(/\n(?=\d\. )/)
    .slice(1)
    .map((step) =>
      step
        .split(/\n\s*\n/)
        .filter((paragraph) => commands.test(paragraph.trim()))
        .join('\n'),
    );
