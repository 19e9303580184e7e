// The page of the desks.
import { startClock } from "./clock.js";

startClock();
