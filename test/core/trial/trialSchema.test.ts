import { trialJsonSchema } from '@pullproof/core';
import { expect, test } from 'vitest';

test('docs/trial.schema.json is what the reader uses; rewrite it with: npx vitest run test/core/trial -u', async () => {
  await expect(`${JSON.stringify(trialJsonSchema(), null, 2)}\n`).toMatchFileSnapshot('../../../docs/trial.schema.json');
});
