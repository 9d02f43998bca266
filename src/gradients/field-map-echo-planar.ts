/**
 * Spin-echo echo-planar field map: it is played as any spin-echo echo-planar scan.
 *
 * @module
 */
export { playSpinEchoEchoPlanar as playFieldMapEchoPlanar } from './spin-echo-echo-planar.js';
