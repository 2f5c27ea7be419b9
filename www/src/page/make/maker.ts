import { Maker } from '../maker';

/** The one maker of the place: it lives on while another place is shown. */
export const maker = new Maker();
