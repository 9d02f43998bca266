export * from './halve';
export * from './pair-spectrum';
export * from './peak';
export * from './piece';
export * from './weigh';
