import { config } from 'zod';

// Before any schema is made: it would try to make functions from text, which the page's policy forbids.
config({ jitless: true });
