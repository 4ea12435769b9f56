// The parts that come after the first load, in one file: many small ones would cost a phone more in requests than in
// bytes.
import '../text/desk';

export { AnimalScreen } from '../animal/animal';
export { AnimalsScreen } from '../animal/animals';
export { ArrivalScreen } from '../arrival/arrival';
export { DeskScreen } from '../desk/desk';
export { HomeScreen } from '../home/home';
export { HomesScreen } from '../home/homes';
export { MoreScreen } from '../person/more';
export { PeopleScreen } from '../person/people';
export { ScaleScreen } from '../scale/scale';
export { ScalesScreen } from '../scale/scales';
export { JoinScreen } from '../signin/join';
