/** The entry: requests go to the web layer, and the platform finds the object classes here. */
import { app } from './web/app.ts';

export { CellarObject } from './storage/cellar-object.ts';
export { VesselObject } from './storage/vessel-object.ts';

export default app;
