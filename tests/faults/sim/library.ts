/* Functions of the phone's own code that the simulator calls on what it finds on a disk. */
export { fold } from "../../../frontend/src/journal/fold";
