// The texts of the parts that come after the first load. Every screen of them imports this file first.
import desk from './en.desk.json';
import { addTexts } from './t';

addTexts(desk);
