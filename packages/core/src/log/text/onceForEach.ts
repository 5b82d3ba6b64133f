/**
 * A function of an object that never changes (a log, a channel), which remembers its answer for as long as the object is used elsewhere.
 *
 * @param work works the answer out; called once for each object
 */
export function onceForEach<Key extends object, Answer>(work: (key: Key) => Answer): (key: Key) => Answer {
  const known = new WeakMap<Key, { readonly answer: Answer }>();
  return (key) => {
    let entry = known.get(key);
    if (entry === undefined) {
      entry = { answer: work(key) };
      known.set(key, entry);
    }
    return entry.answer;
  };
}
