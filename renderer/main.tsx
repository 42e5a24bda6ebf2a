import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './app';

const place = document.getElementById('app');
if (!place) throw new Error('the page has no place for the window');
createRoot(place).render(<StrictMode><App /></StrictMode>);
