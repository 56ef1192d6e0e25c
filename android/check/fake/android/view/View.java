package android.view;

import fake.World;

public class View {
    public boolean performHapticFeedback(int feedback) {
        World.log("feel " + feedback);
        return true;
    }

    public void playSoundEffect(int effect) {
        World.log("hear " + effect);
    }
}
