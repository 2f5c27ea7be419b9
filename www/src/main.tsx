import './styles/index.css';
import { render } from 'preact';
import { App } from './page/app';
import { keepForOffline } from './page/offline';
import { takeSent } from './page/read/sent';

const root = document.getElementById('page');
if (root === null) throw new Error('index.html has no element for the page');
render(<App />, root);
keepForOffline();
takeSent();
