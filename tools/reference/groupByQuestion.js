// A plugin of typedoc: every export stands under the question that it answers, told by its folder.
import { Comment, CommentTag, Converter, DeclarationReflection, RendererEvent, SignatureReflection } from 'typedoc';

/** Package and folder → the question. The longest path that fits counts. @type {Readonly<Record<string, string>>} */
export const questions = {
  'core/src/log/': 'What is in this log?',
  'core/src/stretches/': 'How much power?',
  'core/src/power/': 'How much power?',
  'core/src/air/': 'What was the air?',
  'core/src/vehicle/': 'What is moved, and against what?',
  'core/src/sensors/': 'Pressure, mixture, fuel: what limits it?',
  'core/src/boost/': 'Pressure, mixture, fuel: what limits it?',
  'core/src/fuel/': 'Pressure, mixture, fuel: what limits it?',
  'core/src/compare/': 'Did it help?',
  'core/src/uncertainty/': 'How sure?',
  'core/src/strip/': 'What will it run at the strip?',
  'core/src/trial/': 'The whole job: trial and logs in, result out',
  'core/src/formulas/': 'Your own quantities',
  'core/src/findings/': 'What is wrong, and what to do?',
  'core/src/units/': 'Units and numbers',
  'core/src/maths/': 'Units and numbers',
  'core/src/': 'Which version?',
  'figures/src/': 'How does it look?',
  'report/src/': 'How is it told?',
  'notebook/src/': 'How is it shown in a notebook?',
  'cli/src/': 'How is it run?',
};

const paths = Object.keys(questions).sort((left, right) => right.length - left.length);

/** @param {import('typedoc').Application} app */
export function load(app) {
  app.converter.on(Converter.EVENT_RESOLVE_BEGIN, (context) => {
    for (const reflection of Object.values(context.project.reflections)) {
      if (!(reflection instanceof DeclarationReflection) || reflection.parent !== context.project) continue;
      // What a package hands on from another one is seen there as built.
      const file = reflection.sources?.[0]?.fullFileName.replaceAll('\\', '/').replace('/dist/', '/src/');
      if (file === undefined) continue;
      const path = paths.find((known) => file.includes(`/packages/${known}`));
      if (path === undefined) {
        app.logger.error(/** @type {never} */ (`${file} stands under no question: name its folder in tools/reference/groupByQuestion.js`));
        continue;
      }
      for (const comment of commentsOf(reflection)) {
        comment.blockTags.push(new CommentTag('@category', [{ kind: 'text', text: questions[path] ?? '' }]));
      }
    }
  });
  app.renderer.on(RendererEvent.BEGIN, (event) => withoutLinks(event.project));
}

/** No link to a file: pages open from anywhere. @param {import('typedoc').ProjectReflection} project */
function withoutLinks(project) {
  for (const reflection of Object.values(project.reflections)) {
    if (reflection instanceof DeclarationReflection || reflection instanceof SignatureReflection)
      for (const source of reflection.sources ?? []) delete source.url;
  }
}

/**
 * A function's comment stands with its signatures; what has none gets one.
 * @param {DeclarationReflection} reflection
 * @returns {Comment[]}
 */
function commentsOf(reflection) {
  const holders = reflection.signatures === undefined ? [reflection] : reflection.signatures;
  return holders.map((holder) => {
    holder.comment ??= new Comment();
    return holder.comment;
  });
}
