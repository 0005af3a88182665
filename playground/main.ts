import './elements/app/app.ts';
import { openSamples } from './state/samples.ts';

void openSamples();
