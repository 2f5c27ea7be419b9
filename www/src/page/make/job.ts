import { FileJob } from '../file-job';
import { maker } from './maker';

/** The tone as a file. */
export const toneFile = new FileJob(maker);
