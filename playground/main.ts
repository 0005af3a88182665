import './elements/app/app.ts';
import { offerLinked } from './state/link.ts';
import { openSamples } from './state/samples.ts';

void openSamples();
void offerLinked();
